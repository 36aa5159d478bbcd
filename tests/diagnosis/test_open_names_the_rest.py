"""While nothing is the answer yet, what is not ahead is told with its chance, parts before fuses; and things are called
by what somebody would look for."""

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.fault_words import subject_name
from circuitmap.reports.suspects.leading import is_open
from circuitmap.reports.suspects.open_answer import not_ahead
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import asked, circuit_from

FERRY = """\
platform "Calder Launch" sleep 5min..10min limit 30mA
battery BAT 95Ah
fuse F1 60A bolted "main fuse"
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1..F3
alternator ALT "alternator, 90 A" supply B+ ground 31
lamp LMP "hatch lamp" supply 1 ground 2 running 410mA
switch LMP.S positions off, on closes 1 to 2 in on
heater HTR "bilge heater" supply 1 ground 2 running 6A
switch HSW positions off, on closes 1 to 2 in on
module CTL supply 1 ground 2 asleep 2mA awake 90mA
ground G
splice SP1
BAT.+ -> F1 -> SP1
SP1 -> CAB.B1
SP1 -> ALT.B+
CAB.F1 -> LMP.S.1
LMP.S.2 -> LMP.1
CAB.F2 -> HSW.1
HSW.2 -> HTR.1
CAB.F3 -> CTL.1
LMP.2, HTR.2, CTL.2, ALT.31 -> G
BAT.- -> G
"""


@pytest.fixture(scope="module")
def found() -> tuple[Diagnosis, str]:
    circuit = circuit_from(FERRY)
    its = asked(circuit, "BAT=0.40A", "F1=0.40A")
    return its, " ".join(suspects_text(circuit.platform, its).split())


def test_what_is_not_ahead_is_told_with_its_chance(found: tuple[Diagnosis, str]) -> None:
    its, text = found
    assert is_open(its)
    names, left = not_ahead(circuit_from(FERRY).platform, its)
    assert left >= 0.1 and "anything else, all together: " in text
    fuses = [name.startswith("what hangs on") for name in names]
    assert fuses == sorted(fuses) and True in fuses and False in fuses
    assert all(name in text for name in names)


def test_the_chances_ahead_and_the_rest_are_all_there_is(found: tuple[Diagnosis, str]) -> None:
    its, _ = found
    _, left = not_ahead(circuit_from(FERRY).platform, its)
    assert left < 1.0 - its.subjects[0].probability + 1e-9


def test_a_switch_in_a_lamp_is_called_by_the_lamp_and_a_fuse_by_what_is_behind_it(
    found: tuple[Diagnosis, str],
) -> None:
    its, text = found
    assert "LMP, hatch lamp, by its own switch" in text
    called = [subject_name(circuit_from(FERRY).platform, one) for one in its.subjects if one.about == "F1"]
    assert called == ["a wire or something fitted behind F1, main fuse"]
