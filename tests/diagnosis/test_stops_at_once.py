"""Whether a try has to wait until something has fallen asleep, or is read at once. What keeps others awake is a module
on a network; a lamp, a coil, a heater stops in the moment that it is out (Ohm's law; which it is, the sheet says)."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.wiring.written import platform_from

TEXT = """\
platform "Sorrel Vane" supply 12V return body sleep 20min..30min limit 50mA
battery BAT 72Ah
fuse F1 10A mini, F2 20A regular, F3 10A mini, F4 10A mini, F5 10A mini
module DOOR "door controller" supply A ground 31 sense S
module SEAT "seat heater controller" supply A ground 31
output DOOR.C9 grounds
relay K1 "rear heater relay" make
relay K2 "feed relay of the seat controller" make
heater HEAT running 2A
lamp LOAD "load lamp" running 0.8A
switch LSW positions shut, open closes 1 to case in open
switch DSW "door switch" positions shut, open closes 1 to case in open
connector X1
switch HSW positions off, on closes 30 to 86 in on
network N can members DOOR, SEAT
ground G0
BAT.- -> G0
bar MAIN feeds F1, F2, F3, F4, F5
BAT.+ -> MAIN
F1 -> DOOR.A
DOOR.31 -> G0
DOOR.S -> X1.2 -> DSW.1
F2 -> K1.30
K1.87 -> HEAT -> G0
F3 -> K1.86
K1.85 -> X1.1 -> DOOR.C9
F4 -> X1.4 -> LOAD -> LSW.1
F5 -> X1.5 -> K2.30
F5 -> HSW.30
HSW.86 -> K2.86
K2.85 -> G0
K2.87 -> X1.3 -> SEAT.A
SEAT.31 -> G0
"""


@pytest.mark.parametrize(
    ("out", "at_once"),
    [
        (("LOAD",), True),
        (("LSW",), True),
        (("K1",), True),
        (("DOOR.C9",), True),
        (("K1", "LSW"), True),
        (("X1.1",), True),  # one wire, from an output to a relay's coil
        (("X1.4",), True),
        (("LOAD.1",), True),
        (("X1.2",), False),
        (("X1.3",), False),
        (("X1.5",), False),
        (("SEAT.A",), False),
        (("X1",), False),  # all of its wires
        (("DOOR",), False),  # others on its network may have been kept awake by it
        (("DSW",), False),  # tells a module something
        (("K2",), False),  # feeds a module
        (("HSW",), False),
        (("LSW", "DOOR"), False),
        (("F2",), False),  # nobody knows all that hangs on a fuse
        (("F4", "LOAD"), False),
    ],
)
def test_only_what_keeps_nobody_awake_is_read_at_once(out: tuple[str, ...], at_once: bool) -> None:
    platform = platform_from(TEXT)
    handling = prepared_for(circuit_of(platform), {}, Evidence()).handling
    assert handling.stops_at_once(out) is at_once
    doing = "connector" if out == ("DOOR.C9",) else "unplug"
    assert handling.action(doing, out).wait == (0.0 if at_once else 20.0)


def test_it_is_said_so() -> None:
    platform = platform_from(TEXT)
    typed = TypedEvidence(readings=("F2=6.8mV", "F3=1.1mV", "F1=0.0mV", "F4=0.0mV", "F5=0.0mV"), total="2.16A")
    answer = diagnose(circuit_of(platform), evidence_typed(platform, typed))
    steps = [t.action for t in answer.tests.choices if t.action.takes_out]
    assert steps and all(step.wait == 0.0 for step in steps)
    said = " ".join(suspects_text(platform, answer).split())
    assert "min, read at once" in said and "to settle" not in said
