"""What only stands beside a hands-off circuit, on the same bar or the same network, may be touched; its circuit not."""

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of


def vehicle(others: int, network: str = "") -> Circuit:
    """A restraint controller on a fuse of a bar with others, on a network with a body controller that hears of a
    crash by a wire of its own, and with others that do not."""
    names = ", ".join(f"M{n} (3)" for n in range(others))
    text = f"""platform "P" sleep 5min..10min limit 30mA
battery B 95Ah
ground G1
B.- -> G1
box F
fuse FM 60A, F.F0 10A, F.FB 10A
module BAG "restraint controller" supply 1 ground 2 signal 4 hands-off restraint
module BODY supply 1 ground 2 sense 4, 5
network CAN can members BAG (3), BODY (3), {names}{network}
bar F.R
B.+ -> FM -> F.R
F.R -> F.F0 -> BAG.1
F.R -> F.FB -> BODY.1
BAG.2 -> G1
BODY.2 -> G1
BAG.4 -> BODY.4
splice SP
BAG.3 -> SP
BODY.3 -> SP
"""
    for n in range(others):
        text += f"module M{n} supply 1 ground 2\nfuse F.G{n} 10A\nF.R -> F.G{n} -> M{n}.1\nM{n}.2 -> G1\nM{n}.3 -> SP\n"
    return circuit_of(platform_of([read_text(SourceFile("p.circuit", text))[0]]))


@pytest.mark.parametrize("others", [1, 2, 5])
def test_what_is_beside_is_free_and_what_feeds_or_carries_it_is_not(others: int) -> None:
    hands_off = vehicle(others).hands_off
    for name in ("BAG", "F.F0", "FM", "BODY", "BODY.4", "BAG.3"):
        assert not hands_off.may_touch(name), name
    for name in ("F.FB", "BODY.5", *(f"M{n}" for n in range(others)), *(f"F.G{n}" for n in range(others))):
        assert hands_off.may_touch(name), name


def test_a_network_that_is_hands_off_itself_takes_its_members_with_it() -> None:
    hands_off = vehicle(2, " hands-off restraint").hands_off
    assert not any(hands_off.may_touch(name) for name in ("CAN", "BAG", "BODY", "M0", "M1"))
