"""A switch that nobody looked at stands for the wire from it: both are said, and nobody is told to stop looking."""

from dataclasses import replace

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.checks_at_parts import InputSeen
from circuitmap.evidence.evidence import Evidence
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_figures_that_fit import platform

PUSH = """platform "P" sleep 5min..10min limit 30mA
battery B 95Ah
box F
ground G1
B.- -> G1
fuse F.F1 10A mini, F.F2 10A mini
module A "door controller" supply 1, 8 ground 2 wake 3 by ground asleep 2mA on 1 awake 180mA on 1, 100mA on 8
switch PUSH positions released, pressed closes 1 to 2 in pressed
B.+ -> F.F1 -> A.1
B.+ -> F.F2 -> A.8
A.2 -> G1
PUSH.1 -> A.3 in GN
PUSH.2 -> G1
"""


def test_until_somebody_looks_the_wire_is_said_with_the_switch_and_nobody_stops() -> None:
    its = platform(PUSH)
    circuit = circuit_of(its)
    read = evidence_typed(
        its, TypedEvidence(readings=("F1=180mA", "F2=100mA", "B=280mA"), meter="low-current-clamp", resolution="1mA")
    )
    found = diagnose(circuit, read)
    text = suspects_text(its, found)
    assert "PUSH, or its wire" in text and "STOP" not in text and not found.tests.mend
    seen = replace(read, inputs=(InputSeen(part="PUSH", right=False),))
    looked = diagnose(circuit, seen)
    assert "or its wire" not in suspects_text(its, looked)
    assert any(part.part != "PUSH" and part.faults[0].colour == "GN" for part in looked.parts), "told by itself now"


def test_a_switch_without_a_drawn_wire_stands_for_itself_alone() -> None:
    for text, stands in ((PUSH, True), (PUSH.replace("PUSH.1 -> A.3 in GN", "splice SP"), False)):
        faults = prepared_for(circuit_of(platform(text)), {}, Evidence()).faults
        assert any(fault.or_its_wire for fault in faults) == stands
