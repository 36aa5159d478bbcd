"""Some of the draw goes at once with what is out, the rest only falls asleep later: until then nobody knows whether
something else draws. One gate for the verdict, SETTLED and the ranking.

Source: a lamp stops with its feed (Ohm's law); a module stays up for its run-on time, here 10 min."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import headline, left_sentence
from circuitmap.reports.job.tried_text import try_sentence
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

DIGGER = """\
platform "Hazel Wren 30 digger" supply 12V return body sleep 10min..15min limit 40mA
battery BAT 100Ah
box CAB "cab panel" at "behind the seat" reach 2min
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini, CAB.F5 10A mini
bar CAB.B1 feeds CAB.F1..F3
bar CAB.B15 feeds CAB.F4, CAB.F5
relay CAB.K2 "15 relay" make
key KEY positions off, run closes 30 to 15 in run
module CABC "cab controller" supply 1 ground 2 wake 3 by plus asleep 2mA awake 400mA reach 4min
module DISP "display" supply 1 ground 2 asleep 2mA awake 300mA
module PUMPC "pump controller" supply 1 ground 2 asleep 2mA awake 300mA
lamp H1 "charge lamp" running 0.24A
lamp H2 "work lamp" running 2A
switch H2SW "work lamp switch" positions off, on closes 1 to 2 in on
ground G1
network CAN1 can members CABC (5, 6), DISP (5, 6), PUMPC (5, 6)
sheet "1"
BAT.+ -> CAB.B1
CAB.B1 -> CAB.K2.30, KEY.30, H2SW.1
CAB.K2.87 -> CAB.B15
KEY.15 -> CAB.K2.86
CAB.K2.85 -> G1
CAB.F1 -> CABC.1
CAB.F2 -> DISP.1
CAB.F3 -> PUMPC.1
CAB.F4 -> CABC.3
CAB.F5 -> H1 -> G1
H2SW.2 -> H2 -> G1
CABC.2, DISP.2, PUMPC.2 -> G1
BAT.- -> G1
"""
LOCKED = "at: '07:00', state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes"
READ = "at: '07:40', total: 1.25A, read: {F1: 0.40A, F2: 0.30A, F3: 0.30A, F5: 0.24A}, steady: yes"
AWAKE = "at: '07:44', network: {CAN1: 2.5V}, volts: {F4: 12.1V}"
K2_OUT, SOON = "at: '08:00', out: [K2]", "at: '08:04', total: 1.01A"
LATER = "at: '08:18', total: 0.01A, steady: yes"
START = (LOCKED, READ, AWAKE)


@pytest.fixture(scope="module")
def digger() -> Circuit:
    return circuit_from(DIGGER)


def job(its: Circuit, *entries: str) -> Job:
    text = "job: 1\nplatform: digger\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(its.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def answered(its: Circuit, *entries: str) -> tuple[Diagnosis, str]:
    found = diagnose(its, job(its, *entries).evidence)
    return found, " ".join(suspects_text(its.platform, found).split())


@pytest.mark.parametrize("left", ["1.01A", "0.90A"])  # less than a fifth, and more
def test_what_is_left_too_early_settles_nothing(digger: Circuit, left: str) -> None:
    soon = SOON.replace("1.01A", left)
    found = job(digger, *START, K2_OUT, soon).standing
    assert [(one.verdict, one.reason, one.wait) for one in found.tries] == [("too-early", "not-asleep", 6.0)]
    assert headline(digger.platform, found).startswith("IT DRAWS 1.25 A")
    answer, text = answered(digger, *START, K2_OUT, soon)
    assert answer.settled is None and "SETTLED" not in text
    assert answer.parts[0].part == "CAB.K2" and answer.two_faults < 0.3


def test_the_step_is_to_wait(digger: Circuit) -> None:
    assert "Leave it out, wait, and read again" in answered(digger, *START, K2_OUT, SOON)[1]
    assert "Leave it out, wait, and read again" not in answered(digger, *START, K2_OUT, SOON, LATER)[1]


def test_once_all_have_slept_it_is_told_as_before(digger: Circuit) -> None:
    (one,) = job(digger, *START, K2_OUT, SOON, LATER).standing.tries
    assert (one.verdict, one.left_early) == ("involved", False)
    goes_on = LATER.replace("0.01A", "1.01A")
    (one,) = job(digger, *START, K2_OUT, SOON, goes_on).standing.tries
    assert one.verdict == "part" and "that much is settled" in try_sentence(digger.platform, one, Clock())
    assert answered(digger, *START, K2_OUT, goes_on)[0].settled is not None


def test_a_lamp_is_settled_at_once(digger: Circuit) -> None:
    """With it nothing has to fall asleep: what is left is left."""
    read = "at: '07:40', total: 3.28A, steady: yes"
    out = ("at: '08:00', turned: {H2SW: off}", "at: '08:02', total: 1.28A")
    found = job(digger, LOCKED, read, *out).standing
    assert found.tries[0].verdict == "involved" and not found.tries[0].left_early
    assert answered(digger, LOCKED, read, *out)[0].settled is not None


BACK = ("at: '08:06', back: [K2]", "at: '08:30', total: 1.25A, steady: yes")


def test_put_back_before_it_slept_it_says_what_went_and_not_what_is_left(digger: Circuit) -> None:
    found = job(digger, *START, K2_OUT, SOON.replace("1.01A", "0.90A"), *BACK).standing
    assert found.leading is not None and found.leading.verdict == "involved" and found.leading.left_early
    said = left_sentence(found.leading, found)
    assert "nobody knows yet whether something else draws too" in said and "still too much" not in said
    (one,) = job(digger, *START, K2_OUT, SOON, *BACK).standing.tries
    assert one.verdict == "too-early"
    assert "Take it out once more, and read when the vehicle has slept" in try_sentence(digger.platform, one, Clock())


def test_less_in_words_is_too_early_too(digger: Circuit) -> None:
    (one,) = job(digger, *START, K2_OUT, "at: '08:04', change: less").standing.tries
    assert one.verdict == "too-early"
    (one,) = job(digger, *START, K2_OUT, "at: '08:04', change: gone").standing.tries
    assert one.verdict == "involved"


def test_at_once_what_was_woken_goes_on_by_its_own_feed(digger: Circuit) -> None:
    """The relay's bar is dead in that moment; the modules that it woke have plus of their own."""
    parked = prepared_for(digger, {}, Evidence()).parked
    without = Without(parked, ("CAB.K2",))
    (stuck,) = [
        f for f in prepared_for(digger, {}, Evidence()).faults if f.kind == "contact" and f.part == "CAB.K2" and f.wakes
    ]
    at_once = {flow.owner for flow in without.left_at_once(stuck)}
    assert {"CABC", "DISP", "PUMPC"} <= at_once and "H1" not in at_once
    assert without.left_of(stuck) == ()
