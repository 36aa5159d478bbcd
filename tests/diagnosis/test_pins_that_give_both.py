"""A module's pin that can feed and ground (half of an H-bridge) is named by the pin, and ends with the pin lifted out."""

from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

SIDE_FLAP = """\
platform "Corvan side flap" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 70Ah
fuse F1 20A mini "flap"
fuse F2 10A mini "radio"
module FLAPM "flap controller" supply 1 ground 2 asleep 2mA
output FLAPM.5 feeds from 1 "flap, up"
output FLAPM.5 grounds "flap, down"
load FLAP "flap heating mat" running 3A
module RADIO "radio" supply 1 ground 2 asleep 2mA
ground G1
BAT.- -> G1
BAT.+ -> F1 -> FLAPM.1 in RD 4
BAT.+ -> F2 -> RADIO.1 in RD 1
FLAPM.5 -> FLAP.1 in YE 2.5
FLAP.2, FLAPM.2, RADIO.2 -> G1 in BN 2.5
"""


def test_the_pin_lifted_out_ends_it() -> None:
    faults = prepared_for(circuit_from(SIDE_FLAP), {}, Evidence()).faults
    (stuck,) = (its for its in faults if its.kind == "contact" and its.contact == "FLAPM.5+" and not its.partly)
    assert stuck.lives_by == (frozenset({"FLAPM", "FLAPM.5"}),)


def test_it_is_told_by_its_pin() -> None:
    circuit = circuit_from(SIDE_FLAP)
    diagnosis, _ = told(
        circuit, "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
        "at: 09:00, total: 3.00A, steady: yes, looked: yes", "at: 09:10, read: {F1: 3.00A, F2: 0A}",
    )  # fmt: skip
    text = " ".join(suspects_text(circuit.platform, diagnosis).split())
    assert "its output FLAPM.5, by which it feeds, does not turn off" in text
    assert "FLAPM.5+" not in text
