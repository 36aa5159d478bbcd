"""Volts at a wake pin count in the answer about its network: plus with its driver out says that plus comes from
elsewhere, none clears what would bring plus. Which of its networks a gateway's pin wakes no sheet says, so quiet members
of the other network clear nothing. Source: the circuit; the last is common practice, no source."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_volts_anywhere import WAKE_LINE
from tests.diagnosis.test_wires_that_are_left import chances, told


def two_networks() -> Circuit:
    text = WAKE_LINE.replace("CAB.F4 10A mini\n", "CAB.F4 10A mini, CAB.F5 10A mini\n")
    text = text.replace("CAB.F3, CAB.F4\n", "CAB.F3, CAB.F4, CAB.F5\n")
    text += (
        'module ENGINE "engine controller" supply 1 ground 2 asleep 1mA awake 400mA\n'
        "network DRIVE can members ENGINE (4, 5), GATE (6, 7)\n"
        "gateway GATE joins DRIVE, BODY passes DRIVE to BODY\n"
        "CAB.F5 -> ENGINE.1 in RD 1\nENGINE.2 -> G1 in BN 1\n"
        "ENGINE.4 -> GATE.6 in OG 0.35\nENGINE.5 -> GATE.7 in BK 0.35\n"
    )
    return circuit_from(text)


READ = (
    "at: 08:00, state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes",
    "at: 09:00, read: {BAT: 0.423A, CAB.F1: 0.12A, CAB.F2: 0.002A, CAB.F3: 0.3A, CAB.F4: 0A, CAB.F5: 0.001A}",
)
DRIVER_OUT = "at: 09:10, out: [HATCH], read: {BAT: 0.42A}, volts: {GATE.12: 12.3V}, steady: yes"


def wire(found: Diagnosis) -> float:
    return sum(its for part, its in chances(found).items() if part.startswith("wake wire of GATE.12"))


def test_plus_with_its_driver_out_leads_although_the_other_network_sleeps() -> None:
    found = told(two_networks(), *READ, DRIVER_OUT)[0]
    rest = {part: its for part, its in chances(found).items() if not part.startswith("wake wire of GATE.12")}
    assert wire(found) > 0.5 > max(rest.values())
    assert wire(told(two_networks(), *READ)[0]) < 0.5


def a_lamp_switch() -> Circuit:
    """A wake pin by plus whose switch hangs on a feed of a module that is dead while parked, by what is typed in."""
    text = WAKE_LINE.replace("wake 12 by plus", "wake 12 by plus wake 13 by plus")
    return circuit_from(
        text + "key IGN positions off, run closes 30 to 15 in run\nswitch WORK positions off, on closes 1 to 2 in on\n"
        "module BEACON supply 1 ground 2\nBEACON.2 -> G1\n"
        "CAB.F4 -> IGN.30 in RD 1\nIGN.15 -> BEACON.1, WORK.1 in BK 1\nWORK.2 -> GATE.13 in WH 0.5\n"
    )


def wire_at_13(found: Diagnosis) -> float:
    return sum(its for part, its in chances(found).items() if part.startswith("wake wire of GATE.13"))


def at_13(volts: str, its: Circuit) -> Diagnosis:
    return told(its, *READ[:1], f"at: 09:00, read: {{BAT: 0.422A}}, volts: {{GATE.13: {volts}}}")[0]


def test_plus_that_its_switch_cannot_bring_speaks_for_its_wire() -> None:
    """The switch hangs behind the key, which is out: closed it brings nothing. Plus there is rubbed on."""
    its = a_lamp_switch()
    before = told(its, *READ[:1], "at: 09:00, read: {BAT: 0.422A}")[0]
    plus, none = at_13("12.3V", its), at_13("0V", its)
    assert chances(plus)["WORK"] < 1.2 * chances(before)["WORK"]
    assert wire_at_13(plus) > 5.0 * wire_at_13(before) and wire_at_13(plus) > chances(plus)["WORK"]
    assert wire_at_13(none) < 0.2 * wire_at_13(before)
    assert "volts tell nothing" not in {one.kind for one in plus.incomplete}


@pytest.mark.parametrize(("volts", "least", "most"), [("0V", 0.0, 0.3), ("12.3V", 3.0, 100.0)])
def test_what_its_switch_can_bring_speaks_for_the_switch(volts: str, least: float, most: float) -> None:
    """The same switch on a fuse that is live, and on a feed that is on no sheet."""
    text = WAKE_LINE.replace("wake 12 by plus", "wake 12 by plus wake 13 by plus")
    text += "switch WORK positions off, on closes 1 to 2 in on\nWORK.2 -> GATE.13 in WH 0.5\n"
    for feed in ("CAB.F4 -> WORK.1 in BK 1\n", '? "work lamps" -> WORK.1 in BK 1\n'):
        its = circuit_from(text + feed)
        before = chances(told(its, *READ[:1], "at: 09:00, read: {BAT: 0.422A}")[0])
        assert least < chances(at_13(volts, its))["WORK"] / before["WORK"] < most, feed


def test_a_wake_wire_that_is_rubbed_ends_with_the_terminal_of_its_pin() -> None:
    """All that it wakes hangs on the module at that pin; so lifted out it tells the wire from the module."""
    found = at_13("12.3V", a_lamp_switch())
    wires = [f for f in found.faults if f.part.startswith("wake wire of GATE.13")]
    assert wires and all(any("GATE.13" in supply for supply in fault.lives_by) for fault in wires)
