"""Members of a network are ranked each with what wakes it, and what nobody may touch is not what to go to first. Worked
out by hand: of three members that are level, the one with two drawn contacts has three things that may hold it."""

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault_kinds import ON_NO_WHOLE_SHEET
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

BUS = """\
platform "Corran bus" supply 24V return body sleep 5min..10min limit 40mA
battery BAT 110Ah
box BX
fuse BX.F1 10A mini "door control", BX.F2 10A mini "instruments", BX.F3 10A mini "restraints"
bar BX.B1 feeds BX.F1..F3
sheet "1" {whole}
module DOORC "door control" supply 1 ground 2 wake 5 by ground wake 6 by ground asleep 2mA awake 100mA
module DASH "instruments" supply 1 ground 2 asleep 2mA awake 100mA
module SRS "restraint control" supply 1 ground 2 asleep 2mA awake 100mA hands-off restraint
network NET can "door network" members DOORC (7, 8), DASH (7, 8), SRS (7, 8)
switch STEP "step contact" positions in, out closes 1 to 2 in out
switch RAMP "ramp contact" positions in, out closes 1 to 2 in out
ground G1
BAT.- -> G1
BAT.+ -> BX.B1
BX.F1 -> DOORC.1
BX.F2 -> DASH.1
BX.F3 -> SRS.1
DOORC.5 -> STEP.1
DOORC.6 -> RAMP.1
STEP.2, RAMP.2, DOORC.2, DASH.2, SRS.2 -> G1
"""
DREW = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.30A}, network: {NET: awake}")


def answered(text: str) -> tuple[Diagnosis, str]:
    its = circuit_from(text)
    answer = told(its, *DREW)[0]
    return answer, " ".join(suspects_text(its.platform, answer).split())


def first_of(text: str) -> str:
    return text.partition("MAY BE ")[2].partition(" in 10 ")[2].partition(". ")[0]


@pytest.mark.parametrize("whole", ("", "whole"))
def test_the_member_with_drawn_contacts_comes_first_with_them(whole: str) -> None:
    _, text = answered(BUS.format(whole=whole))
    first = first_of(text)
    assert (
        first.startswith("DOORC, door control, or what wakes it, or its wire: ") and "RAMP" in first and "STEP" in first
    )
    assert "SRS first" not in text


def test_among_members_that_are_level_nobody_goes_to_what_is_hands_off() -> None:
    """No contact drawn: all three are level, and two of them may be touched."""
    bare = BUS.format(whole="").replace(" wake 5 by ground wake 6 by ground", "")
    bare = bare.replace("DOORC.5 -> STEP.1\nDOORC.6 -> RAMP.1\n", "")
    answer, text = answered(bare)
    tied = {part.part for part in answer.subjects[0].parts if part.probability > 0.25}
    assert tied == {"DOORC", "DASH", "SRS"}
    told = text.partition("MAY BE ")[2].partition("OR ELSE")[0]
    assert "SRS, restraint control (hands-off)" in told
    assert 0 < told.index("DASH") < told.index("SRS") > told.index("DOORC")


def odds_of(text: str, part: str) -> float:
    faults = prepared_for(circuit_from(text), {}, Evidence()).faults
    return sum(fault.odds for fault in faults if fault.kind == "wrong-input" and fault.part == part)


@pytest.mark.parametrize("part", ("DASH", "SRS"))
def test_an_input_that_nobody_drew_is_next_to_nothing_on_a_whole_sheet(part: str) -> None:
    open_sheet, whole = odds_of(BUS.format(whole=""), part), odds_of(BUS.format(whole="whole"), part)
    assert 0.0 < whole == pytest.approx(ON_NO_WHOLE_SHEET * open_sheet)


def lines_of(text: str) -> str:
    """What comes first, what may hold it, what is level, and what else it may be."""
    return text.partition(" MAY BE ")[2].partition(" BY SHEETS ")[0]


def test_whoever_may_be_it_is_on_some_line() -> None:
    """Two members are level name by name, and one of them comes first with its one contact: the other is told."""
    two = BUS.format(whole="whole").replace(" wake 6 by ground", "").replace("DOORC.6 -> RAMP.1\n", "")
    answer, text = answered(two)
    likely = [part.part for part in answer.subjects[0].parts if part.probability >= 0.05]
    assert {"DOORC", "DASH", "STEP"} <= set(likely)
    assert not [name for name in likely if name not in lines_of(text)]


def test_nobody_is_said_to_hold_it_who_is_said_not_to_be_it() -> None:
    refuted = (
        "at: 09:10, out: [DOORC]", "at: 09:30, read: {BAT: 0.20A}", "at: 09:31, back: [DOORC]",
        "at: 09:50, read: {BAT: 0.30A}", "at: 09:52, network: {NET: awake}",
    )  # fmt: skip
    its = circuit_from(BUS.format(whole=""))
    answer = told(its, *DREW, *refuted)[0]
    text = " ".join(suspects_text(its.platform, answer).split())
    held = text.partition("HELD BY ")[2].partition(";")[0]
    assert "STEP" not in held and "RAMP" not in held
