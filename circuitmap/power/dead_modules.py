"""Modules that plus comes to and that are dead all the same: a supply pin they need, or their ground, is missing."""

from typing import NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Load, Terminal


class DeadModule(NamedTuple):
    """`lacks` are the supply pins that it needs and has no plus at; none where its ground is what is missing."""

    name: str
    lacks: tuple[Terminal, ...]


def dead_modules(powered: Powered) -> tuple[DeadModule, ...]:
    """Only where something is out or unplugged: else it is as it should be."""
    found = []
    for load in powered.loads.values() if powered.state.pulled or powered.state.unplugged else ():
        part = powered.circuit.platform.parts[load.name]
        if not isinstance(part, Load) or part.kind != "module" or load.draws != Answer.NO:
            continue
        if load.name not in powered.state.unplugged and any(pin.live == Answer.YES for pin in load.pins):
            lacks = [pin.terminal for pin in load.pins if pin.terminal.pin in part.needs and pin.live == Answer.NO]
            if lacks or load.ground == Answer.NO:
                found.append(DeadModule(load.name, tuple(lacks)))
    return tuple(found)
