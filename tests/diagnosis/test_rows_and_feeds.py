"""A row of fuses says which of its box it leaves out, and why; a box whose only feeder was read is not clamped as well;
what no fuse chart shows is taken as it is, and told. Source: the circuit; a chart shows no grounds."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_steps_worth_doing import steps
from tests.diagnosis.test_wires_that_are_left import told

COUPE = """\
platform "Alder Finch 12 coupe" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 70Ah
box PRE "carrier"
box CAB "cab box"
key IGN "ignition switch" positions off, run closes 30 to 15 in run
ground G1
sheet "1" "fuse chart" whole
fuse PRE.F1 80A bolted "cab box", PRE.F2 60A bolted "heater"
fuse CAB.F20 30A mini "ignition switch", CAB.F21 10A mini, CAB.F22 10A mini, CAB.F23 10A mini "tracker"
fuse CAB.F32 10A mini "belt tensioner" hands-off restraint
bar CAB.B1 feeds CAB.F20..F23
bar CAB.B2 feeds CAB.F32
CAB.F32 feeds BELT
CAB.F23 feeds TRACK
module BELT "belt controller" hands-off restraint
module TRACK "tracker" asleep 8mA
sheet "2"
module BODYC "body controller" supply 1 ground 2 asleep 5mA awake 200mA
module RADIO "radio" supply 1 ground 2 asleep 3mA awake 300mA
heater PAD "pad" running 20A
switch PADSW positions off, on closes 1 to 2 in on
BAT.+ -> PRE.F1 -> CAB.B1
BAT.+ -> PRE.F2 -> PADSW.1
PADSW.2 -> PAD -> G1
CAB.F20 -> IGN.30
IGN.15 -> CAB.B2
CAB.F21 -> BODYC.1
CAB.F22 -> RADIO.1
BODYC.2, RADIO.2, BAT.- -> G1
"""
READ = ("at: 08:00, state: locked, meter: clamp, zeroed: yes", "at: 09:00, read: {BAT: 0.50A, PRE.F2: 0A}, steady: yes")
AND_ITS_FEEDER = "at: 09:10, read: {PRE.F1: 0.50A}, steady: yes"


@pytest.fixture(scope="module")
def coupe() -> Circuit:
    return circuit_from(COUPE)


def text(its: Circuit, *entries: str) -> str:
    return " ".join(suspects_text(its.platform, told(its, *entries)[0]).split())


def test_a_row_says_what_it_leaves_out_and_why(coupe: Circuit) -> None:
    said = text(coupe, *READ, AND_ITS_FEEDER)
    assert "millivolts across 3 fuses, F21..F23, nothing pulled" in said
    left = "CAB.F20 (feeds BELT, restraint or pyrotechnic) and CAB.F32 (restraint or pyrotechnic)"
    assert f"Left out, and not probed: {left}." in said


def test_of_what_somebody_read_all_the_same_nothing_is_said(coupe: Circuit) -> None:
    said = text(coupe, *READ, AND_ITS_FEEDER, "at: 09:20, read: {F20: 0.0mV}")
    assert "not probed: CAB.F32 (restraint or pyrotechnic)." in said


def test_a_box_is_not_clamped_once_its_only_feeder_was_read(coupe: Circuit) -> None:
    assert ("clamp", ("CAB",)) in offered(coupe, *READ)
    assert ("clamp", ("CAB",)) not in offered(coupe, *READ, AND_ITS_FEEDER)


def test_a_box_is_clamped_where_its_feeder_feeds_something_else_too() -> None:
    others = COUPE.replace("BAT.+ -> PRE.F2 -> PADSW.1", "PRE.F1 -> RADIO.9").replace(
        'module RADIO "radio" supply 1 ', 'module RADIO "radio" supply 1, 9 '
    )
    beside = circuit_from(others.replace("CAB.F22 -> RADIO.1\n", ""))
    only_total = (READ[0], "at: 09:00, total: 0.50A, steady: yes")
    assert ("clamp", ("CAB",)) in offered(beside, *only_total, AND_ITS_FEEDER)


def offered(its: Circuit, *entries: str) -> list[tuple[str, tuple[str, ...]]]:
    return steps(told(its, *entries)[0])


def test_what_a_chart_alone_knows_counts_whole_and_is_told_as_taken_to_be_grounded(coupe: Circuit) -> None:
    said = text(coupe, *READ)
    assert "16 mA are the sheets' own for all asleep (assumed grounded: TRACK)" in said
    (its,) = suspects_json(coupe.platform, told(coupe, *READ)[0], 5)["should_flow"]
    assert (its["printed"], its["assumed_grounded"]) == (pytest.approx(0.016), ["TRACK"])
