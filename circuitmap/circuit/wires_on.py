"""The wires that lie on a part: at each cavity of a connector, on each side of a resistor."""

from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.one_metal import metal_from
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Part, Terminal
from circuitmap.wiring.platform import Wire


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


def _in_one_piece(feeding: Feeding, start: Terminal) -> Iterator[Wire]:
    """The wires that are one piece of metal with a terminal, the nearest first."""
    circuit = feeding.circuit
    for i in metal_from(circuit, circuit.number[start], feeding.fitting).links:
        wire = circuit.links[i].wire
        if wire is not None and wire.kind != "chart":
            yield wire
