"""The wires that lie on a part: at each cavity of a connector, on each side of a resistor."""

from collections import deque
from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.circuit.feeding import Feeding
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Part, Terminal
from circuitmap.wiring.platform import Wire

_METAL = ("wire", "copper", "joint", "cavity")


class InCavity(NamedTuple):
    """A wire that comes to a cavity, or lies on one side of a resistor, and its far end."""

    cavity: Terminal
    wire: Wire
    end: Terminal


def wires_on(feeding: Feeding, part: Part) -> Iterator[InCavity]:
    """The wires at each cavity of a connector. Of a resistor, such as a shunt, all on each side of it, as far as metal
    goes."""
    if part.kind == "connector":
        for wire, own, other in _wires_at(feeding, part.name):
            yield InCavity(own._replace(half=""), wire, other)
    elif part.kind == "resistor":
        for side in sorted({own for _, own, _ in _wires_at(feeding, part.name)}):
            for wire in _in_one_piece(feeding, side):
                yield InCavity(side, wire, wire.b if wire.a == side else wire.a)


def _wires_at(feeding: Feeding, part: str) -> Iterator[tuple[Wire, Terminal, Terminal]]:
    """Each wire with its ends at the part and beyond."""
    for wire in feeding.circuit.platform.wires_at.get(part, ()):
        if holds(wire.condition, feeding.fitting) != Answer.NO:
            for own, other in ((wire.a, wire.b), (wire.b, wire.a)):
                if own.part == part:
                    yield wire, own, other


def _in_one_piece(feeding: Feeding, start: Terminal) -> list[Wire]:
    """The wires that are one piece of metal with a terminal, the nearest first."""
    circuit = feeding.circuit
    wires: dict[Wire, None] = {}
    seen = {circuit.number[start]}
    queue = deque(seen)
    while queue:
        for i in circuit.at[at := queue.popleft()]:
            link = circuit.links[i]
            if link.kind in _METAL and holds(link.condition, feeding.fitting) != Answer.NO:
                wires.update({link.wire: None} if link.wire is not None else {})
                a, b = circuit.ends[i]
                there = b if at == a else a
                if there not in seen:
                    seen.add(there)
                    queue.append(there)
    return list(wires)
