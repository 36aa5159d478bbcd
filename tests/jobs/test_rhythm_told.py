"""How often a draw comes: typed with the log, or said in words. A try that is shorter than its pauses shows nothing yet, and
a log that is longer than some of them does."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.evidence.rhythm_in_words import apart_in_words
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.job import Job
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("about every 36 min something of 3.6 A comes for 9 min, all night", 36),
        ("every 36min", 36),
        ("each 2 hours", 120),
        ("every half hour", 30),
        ("every half an hour", 30),
        ("every hour", 60),
        ("every 1,5 h", 90),
        ("every ten minutes a click", 10),
        ("hourly", 60),
        ("once an hour", 60),
        ("seven times about 1.5 A for 20 to 30 min each, at no fixed distance", None),
        ("once", None),
        ("every night", None),
        ("every 36 miles", None),
        ("rain all night", None),
        ("1 times", None),
        ("every 0 min", None),
    ],
)
def test_how_often_is_read_from_words(text: str, minutes: float | None) -> None:
    assert apart_in_words(text) == (None if minutes is None else pytest.approx(minutes))


@pytest.fixture(scope="module")
def truck() -> Platform:
    return open_platform(Path(__file__).parents[2] / "sample_vehicles" / "truck")


LOCKED = 'at: "2026-03-01 16:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes'
LOG = 'at: "2026-03-02 06:00", log: {floor: 0.04A, peak: 2.10A, mean: 0.50A, for: 12h}'
OUT = 'at: "2026-03-02 07:00", out: [HEATER]'
LOOK = 'at: "2026-03-02 07:20", read: {BAT: 0.04A}, steady: yes'
LONG = 'at: "2026-03-02 13:00", log: {floor: 0.04A, peak: 0.05A, mean: 0.04A, for: 5h}'
SAID = ', remark: "comes every 40 min"'


def job(truck: Platform, *entries: str, when: str = "") -> Job:
    head = f"happens-when: {when}\n" if when else ""
    text = f"job: 1\nplatform: x\n{head}entries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(truck, text, "job.yaml")
    assert not found.problems, found.problems
    return found


@pytest.mark.parametrize(
    ("log", "when", "periods"),
    [
        (LOG + SAID, "", 3),
        (LOG, "every 40 min, day and night", 3),
        (LOG.replace("for: 12h", "for: 12h, every: 40min"), "", 2),  # due at known minutes: twice is enough
    ],
    ids=["remark", "driver", "typed"],
)
def test_a_look_shorter_than_the_pauses_is_too_early(truck: Platform, log: str, when: str, periods: int) -> None:
    its = job(truck, LOCKED, log, OUT, LOOK, when=when)
    (one,) = its.standing.tries
    assert (one.verdict, one.reason, one.wait) == ("too-early", "period", pytest.approx(periods * 40 - 20))
    told = diagnose(circuit_of(truck), its.evidence)
    assert [tried.why_not for tried in told.tried] == ["too early"]
    assert "what comes and goes every 40 min is looked for" in " ".join(suspects_text(truck, told).split())


def test_until_then_nothing_else_is_done(truck: Platform) -> None:
    its = job(truck, LOCKED, LOG + SAID, OUT, LOOK)
    found = diagnose(circuit_of(truck), its.evidence)
    assert found.tests.waits == ("HEATER",) and not found.tests.choices and not found.tests.mend
    text = " ".join(suspects_text(truck, found).split())
    assert "NEXT Leave HEATER out and wait: three times as long" in text
    later = diagnose(circuit_of(truck), job(truck, LOCKED, LOG + SAID, OUT, LOOK, LONG).evidence)
    assert later.tests.waits == ()


def test_a_log_longer_than_some_pauses_is_the_try_s_proof(truck: Platform) -> None:
    its = job(truck, LOCKED, LOG + SAID, OUT, LOOK, LONG)
    (one,) = its.standing.tries
    assert one.verdict == "involved"
    assert [t.why_not for t in diagnose(circuit_of(truck), its.evidence).tried] == [""]
    unclocked = [entry.split(", ", 1)[1] for entry in (LOG + SAID, OUT, LONG)]
    assert job(truck, *unclocked).standing.tries[0].verdict == "involved"  # by its own length


def test_what_nobody_said_makes_nothing_wait(truck: Platform) -> None:
    (one,) = job(truck, LOCKED, LOG, OUT, LOOK).standing.tries
    assert one.verdict == "involved"
