"""What is read with the key on is no draw, and did not come too early: it is told as use, with how long the battery lasts
at that, and nobody is asked to enter it again."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_text import added_text, job_text
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

MILKVAN = """\
platform "Siskin Milkvan" sleep 10min..20min limit 50mA
battery BAT 80Ah
fuse F1 10A mini, F2 30A mini
lamp BOOT running 400mA
motor BLOW "cab blower" running 7A
ground G
BAT.+ -> F1 -> BOOT -> G
BAT.+ -> F2 -> BLOW -> G
BAT.- -> G
"""
LOCKED = ('at: "08:00", state: locked, meter: low-current clamp, zeroed: yes', 'at: "08:40", total: 0.020A')
USED = ('at: "08:50", state: key on', 'at: "08:55", total: 8.0A', 'at: "08:56", read: {F2: 6.9A}')


def job(*entries: str) -> Job:
    lines = ["job: 8", "platform: milkvan", "entries:", *(f"  - {{{entry}}}" for entry in entries)]
    text = SourceFile("j.yaml", "\n".join(lines) + "\n")
    its = job_of(platform_of([read_text(SourceFile("m.circuit", MILKVAN))[0]]), text)
    assert not its.problems
    return its


def words(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def test_it_is_told_as_use_and_not_asked_for_again() -> None:
    before, after = job(*LOCKED, USED[0]), job(*LOCKED, *USED[:2])
    said = words(added_text(before, after, measured=True, next_steps=[]))
    assert "BAT 8.00 A with the key on: in use, not parked. It is no draw." in said
    assert "enter BAT again" not in said and "TOO EARLY" not in said and "woken" not in said
    assert after.standing.total is not None and after.standing.total.amps == 0.02
    assert not after.standing.read_again


def test_how_long_the_battery_lasts_at_that_stands_beside_its_arithmetic() -> None:
    """0.2 to 0.4 of 80 Ah at 8.0 A: two to four hours; 8 Ah are 400 hours at 0.02 A."""
    said = words(job_text(job(*LOCKED, *USED)))
    assert (
        "At 8.00 A with the key on it no longer starts after 2 to 4" in said
        or "after 2.0 to 4" in said
        or "hours; an" in said
    )
    assert "an hour of it takes 8.0 Ah, as much as about 17 days parked." in said


@pytest.mark.parametrize("then", ['at: "09:00", state: key off', 'at: "09:00", state: locked'])
def test_with_the_key_off_again_it_is_as_ever(then: str) -> None:
    its = job(*LOCKED, *USED, then, 'at: "09:05", total: 0.60A')
    assert not its.evidence.readings[-1].in_use and its.evidence.readings[-1].speaks != "parked"
    assert [reading.amps for reading in its.standing.read_again] == [0.60]


def test_opened_alone_is_no_use() -> None:
    its = job(*LOCKED, 'at: "08:50", state: opened', 'at: "08:55", total: 3.0A')
    assert not its.evidence.readings[-1].in_use and "with the key on" not in words(job_text(its))


def test_the_diagnosis_says_why_it_is_left_aside() -> None:
    its = job(*LOCKED, *USED)
    said = " ".join(not_known_sentences(its.platform, diagnose(its.circuit, its.evidence)))
    assert "read with the key on: in use, not parked" in said and "woke" not in said


def test_one_that_is_being_charged_has_no_time() -> None:
    its = job(*LOCKED, USED[0], 'at: "08:55", total: -12.0A')
    assert "no longer starts after" in words(job_text(its)) and "with the key on it" not in words(job_text(its))
