"""A lamp that was seen burning shows where the current goes: why is still to be looked for, and it is not looked for
twice."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

BARN = """\
platform "Horse box" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3
module CTRL "body controller" supply 1 ground 2 sense 5 asleep 2mA awake 150mA
output CTRL.9 grounds
lamp GROOM "groom's lamp" running 1.5A
switch RAMP "ramp contact" positions shut, open closes 1 to 2 in open
ground G1
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> CTRL.1 in RD 1
CAB.F2 -> GROOM -> X4.1 -> X5.2 -> CTRL.9 in GY 0.5
RAMP.1 -> CTRL.5 in WH 0.5
RAMP.2, CTRL.2 -> G1 in BN 1
connector X4, X5
"""
DRAWS = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 1.50A, F1: 0A, F2: 1.49A, F3: 0A}")


def looks(found: Diagnosis) -> list[str]:
    return [f"{f.kind} {f.part}" for test in found.tests.choices if test.action.doing == "look" for f in test.look_for]


def test_the_wire_behind_it_is_still_looked_along() -> None:
    its = circuit_from(BARN)
    before = looks(told(its, *DRAWS)[0])
    after = looks(told(its, *DRAWS, "at: 09:05, found: {GROOM: burning}")[0])
    wires = [look for look in after if look.startswith(("chafed", "coil"))]
    assert wires and set(wires) <= set(before)


def test_what_was_found_by_looking_is_not_looked_for_again() -> None:
    lamp = BARN.replace("output CTRL.9 grounds\n", "").replace("CTRL.9 in GY", "RAMP.1 in GY").replace(
        "RAMP.1 -> CTRL.5 in WH 0.5\n", "")  # fmt: skip
    its = circuit_from(lamp)
    before = looks(told(its, *DRAWS)[0])
    after = looks(told(its, *DRAWS, "at: 09:05, found: {GROOM: burning}")[0])
    assert any(look.startswith("lamp") for look in before)
    assert not any(look.startswith("lamp") for look in after)


def test_a_look_that_missed_a_burning_lamp_says_nothing_of_what_lets_it_burn() -> None:
    """Whoever looked round and later found the lamp had not been where it is: that look is no sign against its switch."""
    its = circuit_from(BARN)
    looked = (*DRAWS[:1], DRAWS[1] + ", looked: yes")
    before = suspects_text(its.platform, told(its, *looked)[0])
    after = suspects_text(its.platform, told(its, *looked, "at: 09:05, found: {GROOM: burning}")[0])
    first = after.partition("WHY")[2].partition("RATHER")[0].partition("NOT ")[0]
    assert "a look round found nothing" in before
    assert "GROOM was seen burning" in first and "a look round found nothing" not in first
