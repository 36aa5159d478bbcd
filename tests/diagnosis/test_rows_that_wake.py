"""A chart that names a module in two rows, one permanent and one switched: the switched one wakes it, as if its pins had
been typed in."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from tests.diagnosis.test_answers import circuit_from

CHART = """\
battery BAT 90Ah
box FB
fuse FB.F1 15A mini, FB.F2 5A mini, FB.F3 10A mini, FB.F4 20A mini, FB.F5 10A mini
bar FB.B1 feeds FB.F1, FB.F2, FB.F5, FB.R2.30
bar FB.B2 "accessory" feeds FB.F3, FB.F4
relay FB.R2 "accessory relay" make
key KEY positions off, acc closes 1 to 2 in acc
ground G1
BAT.+ -> FB.B1
BAT.- -> G1
FB.F2 -> KEY.1
KEY.2 -> FB.R2.86
FB.R2.85 -> G1
FB.R2.87 -> FB.B2
FB.F1 feeds LOCKS{a}
FB.F3 feeds LOCKS{b}
FB.F4 feeds HEAT
module LOCKS "locking" {pins} awake 300mA..400mA
module HEAT "seat heating" awake 150mA..250mA
"""
READ = ("BAT=0.56A", "FB.F1=0.28A", "FB.F3=0.08A", "FB.F4=0.19A", "FB.F2=0A")


def told(pins: bool, *readings: str, relays: tuple[str, ...] = ()) -> Diagnosis:
    named = {"a": ".1", "b": ".7", "pins": "supply 1, 7"} if pins else {"a": "", "b": "", "pins": ""}
    its = circuit_from(CHART.format(**named))
    return diagnose(its, evidence_typed(its.platform, TypedEvidence(readings=readings, relays=relays)))


@pytest.mark.parametrize("readings", [READ, (READ[0], READ[3]), READ[:4]])
def test_a_switched_row_wakes_as_a_switched_pin_does(readings: tuple[str, ...]) -> None:
    chart, typed = told(False, *readings), told(True, *readings)
    assert chart.subjects[0].about == typed.subjects[0].about == "FB.R2"
    assert chart.two_faults < 0.05
    assert chart.subjects[0].probability == pytest.approx(typed.subjects[0].probability, abs=0.05)


def test_a_relay_seen_stuck_excludes_the_key() -> None:
    found = told(False, *READ, relays=("FB.R2=stuck",))
    assert {part.part: part.probability for part in found.parts}["FB.R2"] > 0.9
    assert found.tests.mend == "FB.R2"
