"""Water between two cavities of a plug tells a module what its switch would tell. Worked out by hand: 3 V at the pin are
neither the 0 V of the closed contact nor the 12 V of the open one, and end with the plug, not with the switch."""

from dataclasses import replace

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

HATCH = """\
platform "Ferrin horse lorry" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 95Ah
box CAB
fuse CAB.F1 10A mini "ramp control", CAB.F2 10A mini "cab lamps"
bar CAB.B1 feeds CAB.F1, CAB.F2
module RAMP "ramp control" supply 1 ground 2 wake 5 by ground asleep 2mA awake 300mA
module LAMPS "cab lamps" supply 1 ground 2 asleep 2mA awake 150mA
connector X9 "ramp plug, 6 way" at "left rear corner"
switch RAMPSW "ramp contact" positions shut, open closes 1 to 2 in open
ground G1
ground G2 "rear frame"
network NET can members RAMP (7, 8), LAMPS (7, 8)
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> RAMP.1 in RD 1
CAB.F2 -> LAMPS.1 in RD 1
RAMP.5 -> X9.2 -> RAMPSW.1 in GY
RAMPSW.2 -> X9.3 -> G2 in BN
RAMP.2, LAMPS.2 -> G1 in BN 1
RAMP.7 -> LAMPS.7 in YE 0.35
RAMP.8 -> LAMPS.8 in GN 0.35
"""
DREW = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.45A, F1: 0.30A, F2: 0.15A}, inputs: {RAMPSW: wrong}")
SWITCH_OUT = ("at: 09:20, out: [RAMPSW]", "at: 09:40, read: {BAT: 0.45A}", "at: 09:41, back: [RAMPSW]")
PLUG_OUT = ("at: 09:45, out: [X9]", "at: 10:00, read: {BAT: 0.004A}", "at: 10:01, back: [X9]")
BACK = "at: 10:20, read: {BAT: 0.45A}"
WET = "at: 10:02, found: {X9: wet}"
SOME = "at: 09:10, volts: {RAMP.5: 3.0V}"


@pytest.fixture(scope="module")
def lorry() -> Circuit:
    return circuit_from(HATCH)


def chance(its: Circuit, part: str, *entries: str) -> float:
    answer = told(its, *DREW, *entries)[0]
    return sum(one.probability for one in answer.parts if one.part == part)


def answered(its: Circuit, *entries: str) -> tuple[Diagnosis, str]:
    answer = told(its, *DREW, *entries)[0]
    return answer, " ".join(suspects_text(its.platform, answer).split())


def test_some_volts_at_the_pin_speak_for_water(lorry: Circuit) -> None:
    bare, some = chance(lorry, "X9"), chance(lorry, "X9", SOME)
    assert some > 3.0 * bare > 0.0
    assert "volts at RAMP.5 tell nothing" not in answered(lorry, SOME)[1]


def test_the_contact_leads_before_it_was_out(lorry: Circuit) -> None:
    assert answered(lorry)[0].parts[0].part == "RAMPSW"


def test_the_plug_leads_once_the_switch_was_out_and_it_was_found_wet(lorry: Circuit) -> None:
    answer, said = answered(lorry, SOME, *SWITCH_OUT, *PLUG_OUT, WET, BACK)
    assert answer.parts[0].part == "X9"
    assert chance(lorry, "X9", SOME, *SWITCH_OUT, *PLUG_OUT, WET, BACK) > 0.7
    assert "water or green between X9.2 and X9.3" in said


def test_a_dry_plug_and_full_volts_leave_it_the_wire(lorry: Circuit) -> None:
    """0 V is what a rubbed wire gives, too, and water hardly."""
    told_so = (*SWITCH_OUT, *PLUG_OUT, BACK)
    assert chance(lorry, "X9", *told_so, WET) > 2.0 * chance(lorry, "X9", *told_so)
    assert answered(lorry, *told_so)[0].parts[0].part.startswith("wire ")


def test_no_water_where_no_neighbour_has_ground(lorry: Circuit) -> None:
    apart = circuit_from(HATCH.replace("RAMPSW.2 -> X9.3 -> G2", "RAMPSW.2 -> G2"))
    assert any(fault.leak for fault in told(lorry, *DREW)[0].faults)
    assert not any(fault.leak for fault in told(apart, *DREW)[0].faults)


@pytest.mark.parametrize(
    ("when", "more"), [("after nights of rain", True), ("now and then", False), ("in frost", False)]
)
def test_a_driver_who_says_that_it_comes_in_the_wet_makes_water_likelier(lorry: Circuit, when: str, more: bool) -> None:
    """Five times the odds, and whether anything is wrong at all is not moved by it."""
    bare, evidence = told(lorry, *DREW)
    said = diagnose(lorry, replace(evidence, happens_when=when), evidence.options)
    odds = [next(p.probability for p in its.parts if p.part == "X9") for its in (bare, said)]
    ratio = odds[1] / (1.0 - odds[1]) / (odds[0] / (1.0 - odds[0]))
    assert ratio == pytest.approx(5.0 if more else 1.0, rel=0.02)
    assert said.something_wrong == pytest.approx(bare.something_wrong, abs=1e-6)


def test_that_word_is_told_with_what_it_speaks_for(lorry: Circuit) -> None:
    evidence = told(lorry, *DREW, SOME, *SWITCH_OUT)[1]
    text = suspects_text(lorry.platform, diagnose(lorry, replace(evidence, happens_when="rain"), evidence.options))
    assert "it happens, the driver says: rain" in " ".join(text.split())
