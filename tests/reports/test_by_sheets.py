"""Whose printed figures are what flows: not what hangs behind a place that was clamped at less, and what is left."""

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.found_there import FoundThere
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_figures_that_fit import platform

TRAILER = """\
platform "Horsebox" sleep 5min..10min limit 40mA
battery B 95Ah
box F "Box"
fuse F.F1 10A mini, F.F2 10A mini
module M "ramp controller" supply 1 ground 2 wake 3 by ground asleep 3mA awake 240mA
lamp L1 "groom lamp" supply 1 ground 2 running 10W
lamp L2 "tack lamp" supply 1 ground 2 running 10W
switch S1 positions off, on closes 1 to 2 in on
switch S2 positions off, on closes 1 to 2 in on
switch RAMP positions shut, open closes 1 to 2 in open
ground G1
B.+ -> F.F1 -> SP1
B.+ -> F.F2 -> SP2
splice SP1
splice SP2
SP1 -> S1.1
S1.2 -> L1.1
L1.2 -> G1
SP2 -> S2.1
S2.2 -> L2.1
L2.2 -> G1
SP2 -> M.1
M.2 -> G1
M.3 -> RAMP.1
RAMP.2 -> G1
B.- -> G1
"""


def asked(*readings: str, burning: str = "") -> tuple[Platform, Diagnosis]:
    its = platform(TRAILER)
    evidence = evidence_typed(its, TypedEvidence(readings=readings, meter="low-current-clamp", resolution="1mA"))
    if burning:
        evidence = evidence.and_also(Evidence(found=(FoundThere(place=burning, sign="burning"),)))
    return its, diagnose(circuit_of(its), evidence)


def by_sheets(*readings: str, burning: str = "") -> str:
    its, found = asked(*readings, burning=burning)
    text = suspects_text(its, found)
    return " ".join(text.partition("BY SHEETS")[2].partition("\n\n")[0].split())


def test_two_lamps_alike_are_both_told_until_the_way_of_one_was_clamped() -> None:
    assert "That is what L1, or L2 would take" in by_sheets("B=0.836A")
    one = by_sheets("B=0.836A", "F1=2mA")
    assert "That is what L2 would take" in one and "L1" not in one


def test_what_a_burning_lamp_leaves_is_told_with_who_would_take_it() -> None:
    text = by_sheets("B=1.073A", "F1=0mA", "F2=1.073A", burning="L2")
    assert "L2 takes 833 mA of that; 237 mA is left, which is what M would take" in text


def test_two_faults_whose_figures_come_to_it_together_are_told_before_anything_is_seen() -> None:
    text = by_sheets("B=1.073A", "F1=0mA", "F2=1.073A")
    assert "That is what L2 and M would take" in text
    assert "L1" not in text


def test_a_second_fault_as_small_as_the_tolerance_makes_nothing_fit() -> None:
    small = TRAILER.replace("awake 240mA", "awake 50mA")
    its = platform(small)
    evidence = evidence_typed(
        its, TypedEvidence(readings=("B=0.886A", "F1=0mA"), meter="low-current-clamp", resolution="1mA")
    )
    assert "L2 and M" not in suspects_text(its, diagnose(circuit_of(its), evidence))


def test_what_was_read_elsewhere_must_be_taken_there() -> None:
    """Both lamps on one total: the fuse that was read carries one of them, so that the other is not told for it."""
    text = by_sheets("B=0.836A", "F2=0.833A")
    assert "That is what L2 would take" in text and "L1" not in text


def test_nothing_is_told_of_a_share_where_the_lamp_is_all_of_it() -> None:
    assert " of that; " not in by_sheets("B=0.836A", "F1=0mA", "F2=0.836A", burning="L2")


def test_the_share_is_among_the_fields() -> None:
    its, found = asked("B=1.073A", "F1=0mA", "F2=1.073A", burning="L2")
    [share] = [one["share"] for one in suspects_json(its, found, 3)["should_flow"]]
    assert share["parts"] == ["L2"] and share["others"] == [["M"]] and abs(share["left"] - 0.237) < 0.002
