"""Latching relays that a state throws over: the current in one of their coils, and where they then stand.

A settled state takes a latching relay as it was left. Whoever asks about a state in which its set coil carries current
wants to know what it does then.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Switch, Terminal

COILS = ("set", "reset")
"""The positions of a latching relay, in the order of its coils."""


class Thrown(NamedTuple):
    """A state with all latching relays where their own coils throw them: `moved` are those, each with its position.
    `restless` are relays that throw themselves back again, and stay as they were said to be."""

    powered: Powered
    moved: Mapping[str, str]
    restless: tuple[str, ...] = ()


def thrown(circuit: Circuit, state: VehicleState) -> Thrown:
    """The state, settled. A relay of which the state says how it stands is left there."""
    moved: dict[str, str] = {}
    restless: dict[str, None] = {}
    powered = evaluate(circuit, state)
    while True:
        now = {name: to for name, to in _moves(powered).items() if name not in state.switches and name not in restless}
        if not now:
            return Thrown(powered, moved, tuple(restless))
        for name, to in now.items():
            if name in moved:
                restless[name] = None
                del moved[name]
            else:
                moved[name] = to
        powered = evaluate(circuit, replace(state, switches={**state.switches, **moved}))


def _moves(powered: Powered) -> dict[str, str]:
    """Latching relays of which one coil alone carries current for certain, and that do not stand there yet."""
    found = {}
    for part in powered.circuit.platform.parts.values():
        if isinstance(part, Switch) and len(part.coils) == len(COILS):
            stands = powered.state.switches.get(part.name, part.positions[0])
            pulling = [
                position
                for position, (a, b) in zip(COILS, part.coils, strict=True)
                if _carries(powered, Terminal(part.owner, a), Terminal(part.owner, b))
            ]
            if len(pulling) == 1 and pulling[0] != stands:
                found[part.name] = pulling[0]
    return found


def _carries(powered: Powered, a: Terminal, b: Terminal) -> bool:
    """Whether plus comes to one end for certain, and ground to the other."""
    plus, ground = powered.supply, powered.ground
    return any(Answer.YES == plus.get(x, Answer.NO) == ground.get(y, Answer.NO) for x, y in ((a, b), (b, a)))
