"""What comes and goes may be up higher one time than another: a wire that is wet, and then pressed on. Which way it goes
is told by both; how much flows, by the one alone. What was read with something out with which it went on is of the
whole vehicle. Source: currents in proportion along one way (Kirchhoff); the rest is judgement, beside each number."""

from collections.abc import Sequence

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

HORSEBOX = """\
platform "Orvale 40 horsebox" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 90Ah
box PRE "carrier" at "on the battery" reach 2min
box REAR "rear panel" at "groom's door" reach 2min
fuse PRE.M1 60A bolted, PRE.M2 60A bolted
fuse REAR.F1 15A mini "winch", REAR.F2 10A mini "heater", REAR.F3 10A mini "lock"
bar REAR.B1 feeds REAR.F1..F3
connector X7 "tail wall, 6 way" at "tail wall" reach 4min
connector X8 "ramp, 6 way" at "ramp's hinge" reach 4min
module CABM "cab controller" supply 1 ground 2 asleep 12mA awake 150mA reach 5min
module LOCKM "ramp lock" supply 1 ground 2 asleep 2mA awake 90mA reach 5min
motor WINCH "winch" supply 1 ground 2 running 30A
motor HEAT "heater" supply 1 ground 2 running 6A
switch WSW "winch switch" positions off, on closes 1 to 2 in on
switch HSW "heater switch" positions off, on closes 1 to 2 in on
ground G1
sheet "1" whole
BAT.+ -> PRE.M1 -> CABM.1
BAT.+ -> PRE.M2 -> REAR.B1
REAR.F1 -> X7.1 -> X8.1 -> WSW.1 in RD 2.5
WSW.2 -> WINCH.1
REAR.F2 -> X7.2 -> HSW.1
HSW.2 -> HEAT.1
REAR.F3 -> X7.3 -> LOCKM.1
CABM.2, LOCKM.2, WINCH.2, HEAT.2 -> G1
BAT.- -> G1
"""
LOCKED = 'at: "2026-03-01 07:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
LOW = 'at: "2026-03-01 07:40", total: 0.30A, during: event'
WHERE = 'at: "2026-03-01 07:42", read: {PRE.M1: 0.01A, PRE.M2: 0.29A, REAR.F2: 0.0mV, REAR.F3: 0.0mV}, during: event'
HIGH = 'at: "2026-03-01 08:00", total: 1.60A, during: event'


@pytest.fixture(scope="module")
def box() -> Circuit:
    return circuit_from(HORSEBOX)


def job(box: Circuit, entries: Sequence[str]) -> Job:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(box.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def answered(box: Circuit, *entries: str) -> tuple[Job, Diagnosis]:
    its = job(box, entries)
    return its, diagnose(box, its.evidence)


def behind(found: Diagnosis, place: str) -> float:
    """How likely what draws lies behind a place."""
    return sum(
        row.probability for row in found.rows if any(place in flow.way.places for flow in row.faults[0][0].brings)
    )


def test_what_carried_all_of_a_lower_event_says_where_the_higher_one_goes(box: Circuit) -> None:
    _, found = answered(box, LOCKED, LOW, WHERE, HIGH)
    its = found.netted.readings
    assert its["PRE.M2"].height is not None and its["PRE.M2"].amps is None
    assert its["PRE.M2"].lowest < 0.30 < 1.60 < its["PRE.M2"].highest
    assert behind(found, "PRE.M2") > 0.9  # and nobody looks for another fault at the battery
    assert found.account is not None and found.account.total == pytest.approx(1.60)
    told = " ".join(suspects_text(box.platform, found).split())
    assert "PRE.M2 (0.29 A of 0.30 A in another event)" in told
    assert "the drop across this style" not in told


def test_what_showed_nothing_then_may_carry_in_proportion(box: Circuit) -> None:
    _, found = answered(box, LOCKED, LOW, WHERE, HIGH)
    _, as_high = answered(box, LOCKED, LOW, WHERE, HIGH.replace("1.60", "0.31"))
    then, now = as_high.netted.readings["REAR.F2"], found.netted.readings["REAR.F2"]
    assert then.height is None and now.height is not None
    assert now.highest == pytest.approx(then.highest * 1.60 / 0.30)


def test_the_same_height_stays_a_figure(box: Circuit) -> None:
    _, found = answered(box, LOCKED, LOW, WHERE, HIGH.replace("1.60", "0.32"))
    assert found.netted.readings["PRE.M2"].amps == pytest.approx(0.29)


def test_a_figure_of_an_event_as_high_as_the_last_outlives_one_of_another(box: Circuit) -> None:
    high = 'at: "2026-03-01 08:01", read: {PRE.M2: 1.58A}, during: event'
    low = 'at: "2026-03-01 08:20", total: 0.30A, read: {PRE.M2: 0.29A}, during: event'
    _, found = answered(box, LOCKED, HIGH, high, low, HIGH.replace("08:00", "08:40"))
    assert found.netted.readings["PRE.M2"].amps == pytest.approx(1.58)


OUT = 'at: "2026-03-01 07:50", out: [X8]'
HIGH_OUT = 'at: "2026-03-01 07:55", total: 1.60A, during: event'
READ_OUT = 'at: "2026-03-01 07:56", read: {REAR.F1: 8.0mV}, during: event'
BACK = 'at: "2026-03-01 08:10", back: [X8]'


def test_what_was_read_with_something_out_counts_once_that_is_back(box: Circuit) -> None:
    its, found = answered(box, LOCKED, LOW, WHERE, OUT, HIGH_OUT, READ_OUT, BACK)
    assert its.standing.total is not None and its.standing.total.amps == pytest.approx(1.60)
    assert "REAR.F1" in found.netted.readings and not found.netted.readings["REAR.F1"].without
    assert found.account is not None and abs(found.account.left) <= found.account.error
    assert behind(found, "REAR.F1") > 0.9


def test_not_where_the_draw_went_with_it(box: Circuit) -> None:
    gone = HIGH_OUT.replace("1.60A, during: event", "0.01A")
    its, found = answered(box, LOCKED, LOW, WHERE, OUT, gone, READ_OUT.replace("8.0mV}, during: event", "0.0mV}"), BACK)
    assert "REAR.F1" not in found.netted.readings
    assert its.standing.total is not None and its.standing.total.amps == pytest.approx(0.30)


def test_nor_at_a_place_that_hangs_on_it(box: Circuit) -> None:
    feeder = 'at: "2026-03-01 07:50", out: [REAR.F1]'
    its = 'at: "2026-03-01 07:56", read: {REAR.F1: 0.0mV}, during: event'
    _, found = answered(box, LOCKED, LOW, WHERE, feeder, HIGH_OUT, its, BACK.replace("X8", "REAR.F1"))
    assert "REAR.F1" not in found.netted.readings


def test_a_plug_that_feeds_no_module_is_cleared_by_a_higher_event(box: Circuit) -> None:
    its, found = answered(box, LOCKED, LOW, WHERE, OUT, HIGH_OUT)
    assert [one.verdict for one in its.standing.tries] == ["cleared"]
    assert behind(found, "REAR.F1") > 0.0
    other, _ = answered(box, LOCKED, LOW, WHERE, OUT.replace("X8", "X7"), HIGH_OUT)  # the lock is fed over that one
    assert [(one.verdict, one.reason) for one in other.standing.tries] == [("cannot-tell", "rose-asleep")]


def test_what_did_not_go_is_not_told_as_back(box: Circuit) -> None:
    its, _ = answered(box, LOCKED, LOW, WHERE, OUT, HIGH_OUT, BACK, HIGH.replace("08:00", "08:30"))
    assert its.standing.tries[0].figures == (pytest.approx(0.30), pytest.approx(1.60))


def test_a_quiet_look_with_something_out_is_none_of_the_whole_vehicle(box: Circuit) -> None:
    """Nothing draws, before and after: what is out may be what draws at other times."""
    quiet = 'at: "2026-03-01 07:40", total: 0.01A, steady: yes'
    logged = 'at: "2026-03-01 17:55", log: {floor: 0.01A, peak: 0.01A, mean: 0.01A, for: 9h}'
    its, _ = answered(box, LOCKED, quiet, OUT, logged)
    assert its.standing.watched == 0.0 and its.standing.stage == "watch"
