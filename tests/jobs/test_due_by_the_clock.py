"""What keeps time is due at known minutes. With something out it was due and did not come: twice, that counts as much as
three periods of what keeps no time; once, it may have been late. Source: the clock of the log (each due minute is the last
one seen plus whole periods); how often it skips is judgement, beside each number."""

from collections.abc import Sequence

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.tries import SKIPS
from circuitmap.evidence.within_an_event import due_between
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.lasting_words import time_words
from tests.diagnosis.test_answers import circuit_from

DAIRY = """\
platform "Fallow Brook dairy float" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 110Ah
box CAB "cab panel" at "behind the flap" reach 2min
fuse CAB.F1 20A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1..F3
module COOL "tank cooler" supply 1 ground 2 asleep 15mA awake 3.2A reach 5min
module DISP "display" supply 1 ground 2 asleep 2mA awake 150mA
motor PUMP "wash pump" running 6A
switch PSW positions off, on closes 1 to 2 in on
ground G1
sheet "1"
BAT.+ -> CAB.B1
CAB.F1 -> COOL.1
CAB.F2 -> DISP.1
CAB.F3 -> PSW.1
PSW.2 -> PUMP.1
COOL.2, DISP.2, PUMP.2 -> G1
BAT.- -> G1
"""
LOCKED = 'at: "2026-03-01 18:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
EVEN = 'at: "2026-03-02 07:00", log: {floor: 0.02A, peak: 3.20A, mean: 0.82A, for: 12h, every: 20min}'
ODD = EVEN.replace("for: 12h", "for: 60min")
UP = 'at: "2026-03-02 08:03", total: 3.20A, read: {F1: 3.19A, F2: 0A, F3: 0A}, during: event'
OUT = 'at: "2026-03-02 08:12", out: [COOL]'
BACK = 'at: "2026-03-02 09:05", back: [COOL]'
AGAIN = 'at: "2026-03-02 09:20", total: 3.20A, during: event'


def gone(at: str, steady: bool = True) -> str:
    return f'at: "2026-03-02 {at}", total: 0.01A{", steady: yes" if steady else ""}'


@pytest.fixture(scope="module")
def float_() -> Circuit:
    return circuit_from(DAIRY)


def answered(circuit: Circuit, *entries: str) -> tuple[Job, Diagnosis]:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(circuit.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found, diagnose(circuit, found.evidence)


def words(lines: Sequence[str] | str) -> str:
    return " ".join((lines if isinstance(lines, str) else " ".join(lines)).split())


@pytest.mark.parametrize(
    ("phase", "start", "end", "read", "due"),
    [
        ((0.0, 2.0), 5.0, 44.0, None, 2),  # due at 20 and 40, each a little early or late
        ((0.0, 2.0), 5.0, 30.0, None, 1),
        ((0.0, 2.0), 5.0, 21.0, None, 0),  # it may be late
        ((0.0, 2.0), 5.0, 44.0, (24.0,), 1),  # only somebody who looked at 24 would have seen it
        ((0.0, 2.0), 5.0, 44.0, (30.0, 35.0), 0),
        (None, 5.0, 44.0, None, 1),  # whole periods alone
        (None, 5.0, 44.0, (24.0,), 0),
    ],
)
def test_how_often_it_was_due(
    phase: tuple[float, float] | None, start: float, end: float, read: tuple[float, ...] | None, due: int
) -> None:
    assert due_between(phase, 20.0, start, end, read, 5.0) == due


def test_due_twice_it_counts(float_: Circuit) -> None:
    its, found = answered(float_, LOCKED, EVEN, UP, OUT, gone("08:55"), BACK, AGAIN)
    (one,) = its.standing.tries
    assert (one.verdict, one.missed, one.ended) == ("involved", 2, 0.0)
    assert found.tried[0].why_not == ""
    assert "(due 2 times by the clock meanwhile, and not come)" in words(
        standing_text(float_.platform, its.standing, Clock(its.card))
    )


def test_due_once_it_may_have_skipped_that(float_: Circuit) -> None:
    its, found = answered(float_, LOCKED, EVEN, UP, OUT, gone("08:35"))
    (one,) = its.standing.tries
    assert (one.verdict, one.missed, one.ended) == ("involved", 1, SKIPS)
    assert (found.tried[0].why_not, found.tried[0].ended) == ("", SKIPS)


def test_nobody_watched_when_it_was_due(float_: Circuit) -> None:
    its, _ = answered(float_, LOCKED, EVEN, UP, OUT, gone("08:35", steady=False))
    assert (its.standing.tries[0].verdict, its.standing.tries[0].missed) == ("too-early", 0)


def test_what_keeps_no_time_waits_three_periods(float_: Circuit) -> None:
    its, found = answered(float_, LOCKED, ODD, UP, OUT, gone("08:55"))
    (one,) = its.standing.tries
    assert (one.verdict, one.reason, one.wait) == ("too-early", "period", pytest.approx(60 - 43))
    assert found.tests.waits == ("COOL",)


def test_the_wait_is_for_what_is_due_twice(float_: Circuit) -> None:
    its, _ = answered(float_, LOCKED, EVEN, UP, OUT, gone("08:16"))
    (one,) = its.standing.tries
    assert one.verdict == "too-early" and one.wait is not None and 20.0 < one.wait <= 40.0 - 4.0


def test_nobody_waits_for_what_is_in_again(float_: Circuit) -> None:
    its, found = answered(float_, LOCKED, ODD, UP, OUT, gone("08:55"), BACK, AGAIN)
    text = words(standing_text(float_.platform, its.standing, Clock(its.card)))
    said = words(suspects_text(float_.platform, found))
    assert "TOO EARLY: COOL" in text and "Wait until" not in text
    assert "it was out for too short a time, take it out once more" in said and "wait and read again" not in said
    assert "the draw went with it out" not in said  # what does not count is no step that is done


def test_a_step_says_beforehand_how_long(float_: Circuit) -> None:
    _, found = answered(float_, LOCKED, EVEN, UP)
    said = words(suspects_text(float_.platform, found))
    assert "It ends by itself, too: leave it out and watch for 40 min, in which it is due twice (--steady)." in said
    _, odd = answered(float_, LOCKED, ODD, UP)
    assert f"leave it out for {time_words(3600)}, three times as long" in words(suspects_text(float_.platform, odd))
