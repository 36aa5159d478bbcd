"""Plus on a wake line speaks for what makes the module at its other end drive it, too: a wrong input there, before the
module itself; not only for an output that is stuck or a wire that is rubbed. Worked out by hand: HATCH takes 0.18 A,
GATE 0.12 A and LAMPS 0.30 A awake. Source: the circuit; what a wake line is for is common practice, no source."""

from functools import cache

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_volts_anywhere import WAKE_LINE
from tests.diagnosis.test_wires_that_are_left import chances, told

LOCKED = "at: 08:00, state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes"
ALL = "at: 09:00, read: {BAT: 0.60A, CAB.F1: 0.12A, CAB.F2: 0.18A, CAB.F3: 0.30A, CAB.F4: 0A}, steady: yes"


@cache
def vehicle(hatch_listens: bool) -> Circuit:
    """The hatch's output is on at times that no sheet says; it is a member of the network, or has the wake line only."""
    text = WAKE_LINE.replace("HATCH.14 feeds from 1 while 6", "HATCH.14 feeds from 1")
    text = text.replace("wake 6 by opening", "wake 6 by ground").replace(
        "closes 1 to 2 in shut", "closes 1 to 2 in open"
    )
    if hatch_listens:
        text = text.replace("GATE (4, 5) drives", "HATCH (7, 8), GATE (4, 5)")
        text += "HATCH.7 -> GATE.4 in OG 0.35\nHATCH.8 -> GATE.5 in GN 0.35\n"
    return circuit_from(text)


def asked(hatch_listens: bool, *entries: str) -> Diagnosis:
    return told(vehicle(hatch_listens), LOCKED, ALL, *entries)[0]


def test_plus_on_the_line_speaks_for_the_input_of_the_module_that_drives_it() -> None:
    plus = chances(asked(True, "at: 09:05, volts: {GATE.12: 12.4V}"))
    none = chances(asked(True, "at: 09:05, volts: {GATE.12: 0V}"))
    assert plus["HATCHSW"] > 2.0 * none["HATCHSW"]
    wire = sum(its for part, its in plus.items() if part.startswith("wake wire of GATE.12"))
    assert plus["HATCHSW"] > wire
    assert plus["HATCHSW"] > plus["GATE"]


def test_with_the_module_out_the_line_has_plus_by_its_wire_only() -> None:
    out = "at: 09:05, out: [HATCH], read: {BAT: 0.42A}, volts: {GATE.12: 12.4V}, steady: yes"
    found = chances(asked(True, out))
    assert sum(its for part, its in found.items() if part.startswith("wake wire of GATE.12")) > 0.5
    assert found["HATCHSW"] < 0.05


def test_what_the_line_wakes_counts_with_the_input() -> None:
    """The hatch is on no network: without its line GATE and LAMPS would be a second thing."""
    found = asked(False)
    best = found.rows[0].faults[0]
    assert [fault.part for fault in best] == ["HATCHSW"]
    assert best[0].hangs == ("HATCH.14",)
    assert {"HATCH", "GATE", "LAMPS"} <= best[0].owners
    assert found.two_faults < 0.2
