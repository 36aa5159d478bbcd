"""A contact behind a diode is an input of its module in the direction that the diode lets through, and its wire is a
candidate, piece by piece."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.faults.inputs import inputs_of
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

CAB = """\
platform "Small sweeper" sleep 5min..10min limit 30mA
battery BAT 95Ah
fuse F1 10A mini, F2 10A mini
module CTRL "controller" supply 1 ground 2 {role} asleep 2mA awake 180mA
module TWIN "its twin" supply 1 ground 2 wake 5 by ground asleep 2mA awake 150mA
switch DOOR "door contact" positions shut, open closes 1 to 2 in open
diode D1, D2, D3
ground G1
BAT.- -> G1
BAT.+ -> F1, F2 in RD 6
F1 -> CTRL.1 in RD 1
F2 -> TWIN.1 in RD 1
CTRL.2, TWIN.2 -> G1 in BN 1
"""
BY_GROUND = "DOOR.2 -> G1 in BN 1\n"
BY_PLUS = "F1 -> DOOR.2 in RD 1\n"
ROLES = {"by ground": "wake 5 by ground", "by plus": "wake 5 by plus", "watched": "sense 5"}


def read(role: str, contact: str, wires: str) -> Circuit:
    return circuit_from(CAB.format(role=ROLES[role]) + contact + wires)


def inputs(its: Circuit, module: str = "CTRL") -> list[tuple[str, bool]]:
    ready = prepared_for(its, {}, Evidence())
    (load,) = (load for load in its.platform.loads if load.name == module)
    return [(one.switch.name, one.wakes) for one in inputs_of(ready.parked, load)]


def row(*diodes: str) -> str:
    """A wire from the pin through diodes to the contact; `D1` lets through from the pin, `-D1` towards it."""
    ends = "".join(f"{d[1:]}.2, " if d[0] == "-" else f"{d}.1, " for d in diodes)
    far = [f"{d[1:]}.1" if d[0] == "-" else f"{d}.2" for d in diodes]
    starts = ["CTRL.5", *far]
    return "".join(
        f"{start} -> {end} in GY 0.75\n"
        for start, end in zip(starts, [*filter(None, ends.split(", ")), "DOOR.1"], strict=True)
    )


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("diodes", [("D1",), ("D1", "D2"), ("D1", "D2", "D3")])
def test_in_the_direction_that_lets_through_it_is_as_if_it_were_wired_directly(
    role: str, diodes: tuple[str, ...]
) -> None:
    for contact, its_way in ((BY_GROUND, diodes), (BY_PLUS, tuple(f"-{d}" for d in diodes))):
        assert inputs(read(role, contact, row(*its_way))) == inputs(read(role, contact, row()))


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("diodes", [("-D1",), ("-D1", "-D2"), ("D1", "-D2"), ("-D1", "D2")])
def test_against_it_it_tells_the_pin_nothing(role: str, diodes: tuple[str, ...]) -> None:
    assert inputs(read(role, BY_GROUND, row())) != []
    assert inputs(read(role, BY_GROUND, row(*diodes))) == []


def test_a_contact_that_two_modules_share_through_diodes_is_an_input_of_both() -> None:
    shared = row("D1") + "TWIN.5 -> D2.1 in GY 0.75\nD2.2 -> DOOR.1 in GY 0.75\n"
    its = read("by ground", BY_GROUND, shared)
    assert inputs(its) == inputs(its, "TWIN") == [("DOOR", True)]


DRAWS = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.18A, F1: 0.18A, F2: 0A}")
OUT = ("at: 09:10, out: [DOOR]", "at: 10:00, read: {BAT: 0.18A}")


def test_once_the_contact_was_out_for_nothing_its_wire_is_left_on_both_sides_of_the_diode() -> None:
    its = read("by ground", BY_GROUND, row("D1"))
    before, after = chances(told(its, *DRAWS)[0]), chances(told(its, *DRAWS, *OUT)[0])
    assert before["DOOR"] > 0.05
    pieces = ("wire D1.1 to CTRL.5", "wire DOOR.1 to D1.2")
    assert all(after[piece] > 5.0 * after["DOOR"] for piece in pieces)


def test_on_the_contact_s_side_of_the_diode_ground_reaches_every_module_that_shares_it() -> None:
    shared = row("D1") + "TWIN.5 -> D2.1 in GY 0.75\nD2.2 -> DOOR.1 in GY 0.75\n"
    found, _ = told(read("by ground", BY_GROUND, shared), *DRAWS, *OUT)
    brought = {fault.part: fault.owners for fault in found.faults if fault.part.startswith("wire ")}
    assert brought["wire D1.1 to CTRL.5"] == {"CTRL"}
    assert brought["wire DOOR.1 to D1.2"] == {"CTRL", "TWIN"}
