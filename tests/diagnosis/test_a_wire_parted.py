"""Parting a plug, a cavity or a diode in the wire of an input opens that wire: what lies beyond it is heard no more,
what lies on the module's side still is (worked out by hand on the drawn wires)."""

import pytest

from circuitmap.circuit.links import Circuit
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_behind_a_diode import BY_GROUND, CAB, DRAWS, ROLES
from tests.diagnosis.test_wires_that_are_left import chances, told

BY_PARTING = {
    "a plug": ("X7", "connector X7\nCTRL.5 -> X7.1 -> DOOR.1 in GY 0.75\n", "X7.1"),
    "its cavity": ("X7.1", "connector X7\nCTRL.5 -> X7.1 -> DOOR.1 in GY 0.75\n", "X7.1"),
    "a diode": ("D1", "CTRL.5 -> D1.1 in GY 0.75\nD1.2 -> DOOR.1 in GY 0.75\n", "D1"),
}
GONE, STAYS = "0.003A", "0.18A"


def read(role: str, wires: str) -> Circuit:
    return circuit_from(CAB.format(role=ROLES[role]) + BY_GROUND + wires)


def after(its: Circuit, *tries: tuple[str, str]) -> dict[str, float]:
    """The chances once each of `tries`, what was out and what BAT then showed, was made and put back."""
    entries = []
    for n, (out, then) in enumerate(tries, start=10):
        entries += [f"at: {n}:00, out: [{out}]", f"at: {n}:40, read: {{BAT: {then}}}", f"at: {n}:41, back: [{out}]"]
    return chances(told(its, *DRAWS, *entries)[0])


def beyond(chance: dict[str, float]) -> float:
    """The switch and the piece of wire at it."""
    return sum(its for name, its in chance.items() if name == "DOOR" or name.startswith("wire DOOR.1"))


def its_side(chance: dict[str, float]) -> float:
    """The module and the piece of wire at it."""
    return sum(its for name, its in chance.items() if name == "CTRL" or name.endswith("to CTRL.5"))


@pytest.mark.parametrize("role", ["by ground", "watched"])
@pytest.mark.parametrize("by", BY_PARTING)
def test_the_draw_that_goes_with_the_wire_parted_lies_beyond(role: str, by: str) -> None:
    out, wires, _ = BY_PARTING[by]
    chance = after(read(role, wires), (out, GONE))
    assert beyond(chance) > 0.9
    assert its_side(chance) < 0.05


@pytest.mark.parametrize("role", ["by ground", "watched"])
@pytest.mark.parametrize("by", BY_PARTING)
def test_the_draw_that_stays_with_the_wire_parted_lies_on_the_module_s_side(role: str, by: str) -> None:
    out, wires, _ = BY_PARTING[by]
    chance = after(read(role, wires), (out, STAYS))
    assert beyond(chance) < 0.02
    assert its_side(chance) > 0.5
    assert any(name.startswith("wire ") and name.endswith("to CTRL.5") for name in chance), "its wire still can"


@pytest.mark.parametrize("by", BY_PARTING)
def test_a_switch_cleared_alone_is_not_brought_back_by_what_was_out_beside_it(by: str) -> None:
    out, wires, _ = BY_PARTING[by]
    chance = after(read("by ground", wires), ("DOOR", STAYS), (f"DOOR, {out}", GONE))
    assert chance.get("DOOR", 0.0) < 0.05
    assert max(chance, key=lambda name: chance[name]).startswith("wire DOOR.1")


def test_a_switch_that_is_wrong_by_being_open_is_as_wrong_with_its_wire_parted() -> None:
    """The module waits for the ground to go: parting the wire takes it away, so the draw stays, and it proves
    nothing."""
    text = CAB.format(role="wake 5 by opening").replace("closes 1 to 2 in open", "closes 1 to 2 in shut")
    its = circuit_from(text + BY_GROUND + BY_PARTING["a plug"][1])
    before = chances(told(its, *DRAWS)[0])
    assert after(its, ("X7", STAYS))["DOOR"] > 0.5 * before["DOOR"] > 0.01
