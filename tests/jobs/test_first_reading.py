"""A card on which no current stands yet says what comes next, and from when on a reading counts."""

import pytest

from circuitmap.flows.job import next_steps
from circuitmap.jobs.job import Job, job_of
from circuitmap.reports.job.job_text import added_text, job_text
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform
from tests.jobs.baggage_tug import baggage_tug


@pytest.fixture(scope="module")
def trolley() -> Platform:
    return baggage_tug("5min..20min")


def job(platform: Platform, *entries: str) -> Job:
    lines = "".join(f"- {{{entry}}}\n" for entry in entries)
    its = job_of(platform, SourceFile("job.yaml", f"complaint: flat\nbattery: 80Ah\nentries:\n{lines or '[]'}"))
    assert its.problems == ()
    return its


def steps(its: Job) -> str:
    text = " ".join(" ".join(job_text(its, next_steps(its).lines)).split())
    return text[text.index("NEXT ") :] if "NEXT " in text else ""


VOLTS = "at: 08:00, battery: {rest: 12.05V}"


def test_volts_alone_ask_for_the_first_reading_and_say_from_when_on_it_counts(trolley: Platform) -> None:
    text = steps(job(trolley, VOLTS, "at: 08:10, state: locked"))
    assert text.startswith("NEXT What is read counts from 8:30 on. Until then open, unplug and pull nothing")
    assert "clamp the cable of BAT" in text and "(total ..A)" in text
    assert "No clamp here: read millivolts across each fuse" in text and "(P mV: all 0.0 except ..)" in text
    assert "one conductor in the jaws" in text and "no slip to a neighbour" in text
    added = " ".join(added_text(job(trolley, VOLTS), job(trolley, VOLTS, "at: 08:10, state: locked"), False, ()))
    assert "from 8:30 on" in added


def test_what_is_missing_for_a_time_comes_first(trolley: Platform) -> None:
    assert "Lock it, and write that down (locked); what is read counts 20 min later" in steps(job(trolley, VOLTS))
    charging = steps(job(trolley, VOLTS, "at: 08:10, state: locked", "at: 08:20, state: charger on"))
    assert "charger off" in charging and "counts from" not in charging


def test_a_night_later_it_has_slept(trolley: Platform) -> None:
    text = steps(job(trolley, 'at: "2026-11-09 22:00", state: locked', 'at: "2026-11-10 07:00", remark: rain'))
    assert text.startswith("NEXT It has had its time to fall asleep")


def test_once_a_current_is_read_the_readings_say_what_comes_next(trolley: Platform) -> None:
    text = steps(job(trolley, "at: 08:10, state: locked", "at: 09:00, read: {P.M1: 0.0mV}"))
    assert "counts from" not in text and "Until then open" not in text
