"""A relay that is held in feeds what its contact goes to, also where that is on another sheet: what flows through its
coil and through its contact is one thing, and not two."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from tests.diagnosis.test_answers import circuit_from

RELAY = """\
battery BAT 90Ah
box FB
fuse FB.F1 30A mini, FB.F2 5A mini, FB.F3 10A mini
bar FB.B1 feeds FB.F1, FB.F2, FB.F3
relay FB.R4 "heater plug relay" make
module CTRL "heating control" supply 1 ground 2 asleep 2mA awake 60mA
{drives}
ground G1
BAT.+ -> FB.B1
BAT.- -> G1
FB.F1 -> FB.R4.30
FB.R4.87 -> ? "goes on to sheet 12, heater plug"
FB.F2 -> FB.R4.86
FB.R4.85 -> {low}
FB.F3 -> CTRL.1
CTRL.2 -> G1
"""


@pytest.mark.parametrize(("drives", "low"), [("output CTRL.9 grounds", "CTRL.9"), ("", "CTRL.9 in BN 0.5")])
def test_coil_and_contact_are_one_thing(drives: str, low: str) -> None:
    its = circuit_from(RELAY.format(drives=drives, low=low))
    readings = ("BAT=7.15A", "FB.F1=7.0A", "FB.F2=0.14A", "FB.F3=0A")
    found = diagnose(its, evidence_typed(its.platform, TypedEvidence(readings=readings)))
    assert found.two_faults < 0.1
    assert found.subjects[0].about == "FB.R4" and found.subjects[0].probability > 0.9
