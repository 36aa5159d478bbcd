"""Ink of wires: halo, dark edge where the colour is pale, base colour, tracer dashes, and gaps where wires cross."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from circuitmap.drawings.inking.ink import Ink, Role, Stroke
from circuitmap.drawings.placing.layout import Route
from circuitmap.drawings.scene.palette import COPPER, HALOS, INK, PAPER, UNTYPED, base_and_tracers, faded, is_pale
from circuitmap.drawings.scene.scene import DrawnWire, Mark, Nature

WIRE_WIDTH, COPPER_WIDTH, HALO_WIDTH = 2.6, 4.6, 9.5


_HALOED = (Mark.DRAWING, Mark.SUSPECT, Mark.FAULTY)


class DrawnLine(NamedTuple):
    """A route with its looks: strokes from the bottom up as (colour, width, dash)."""

    entry: str
    points: tuple[tuple[float, float], ...]
    layers: tuple[tuple[str, float, tuple[float, ...]], ...]
    halo: str = ""
    is_faded: bool = False

    @property
    def width(self) -> float:
        return max(width for _, width, _ in self.layers)


def wire_line(wire: DrawnWire, route: Route, some_are_marked: bool) -> DrawnLine:
    """How one wire is drawn. Where some wires are marked, the others are faded; colours never change."""
    marked = wire.mark in _HALOED or wire.named
    halo = HALOS[wire.mark if wire.mark in _HALOED else Mark.NONE] if marked else ""
    layers = layers_of(wire)
    fades = some_are_marked and not marked
    if fades:
        layers = tuple((faded(colour), 0.8 * width, dash) for colour, width, dash in layers)
    return DrawnLine(wire.key, route.points, layers, halo, fades)


def layers_of(wire: DrawnWire) -> tuple[tuple[str, float, tuple[float, ...]], ...]:
    if wire.nature is Nature.COPPER:
        return ((COPPER, COPPER_WIDTH, ()),)
    if wire.nature is Nature.CHART:
        return ((UNTYPED, 1.4, (1.5, 3.0)),)
    if wire.nature is Nature.LEAD:
        return ((INK, 1.3, ()),)
    if not wire.colour:
        return ((UNTYPED, 1.4, ()),)
    base, tracers = base_and_tracers(wire.colour, wire.tracer)
    layers: list[tuple[str, float, tuple[float, ...]]] = []
    if is_pale(base):
        layers.append((INK, WIRE_WIDTH + 1.4, ()))
    layers.append((base, WIRE_WIDTH, ()))
    if tracers:
        layers.append((tracers[-1], 1.5, (6.0, 5.0)))
    if len(tracers) > 1:  # the first covers every other dash of the second
        layers.append((tracers[0], 1.5, (6.0, 16.0)))
    return tuple(layers)


def ink_of_lines(lines: Sequence[DrawnLine]) -> list[Ink]:
    """All lines, faded ones first, with a gap in the lower of two that cross."""
    ordered = sorted(lines, key=lambda line: (bool(line.halo), not line.is_faded))
    ink: list[Ink] = [
        Stroke(line.points, line.halo, HALO_WIDTH, (), Role.HALO, line.entry) for line in ordered if line.halo
    ]
    boxes = [_box_of(line) for line in ordered]
    for number, line in enumerate(ordered):
        left, right, top, bottom = boxes[number]
        for other, its in zip(ordered[:number], boxes[:number], strict=True):
            if its[0] < right and left < its[1] and its[2] < bottom and top < its[3]:
                ink += [_gap(segment, line, at, other) for segment, at in crossings(line, other)]
        ink += [Stroke(line.points, colour, width, dash, Role.WIRE, line.entry) for colour, width, dash in line.layers]
    return ink


def _box_of(line: DrawnLine) -> tuple[float, float, float, float]:
    """Left, right, top and bottom, a little further out: a line that runs straight has room, too."""
    across, down = zip(*line.points, strict=True)
    return min(across) - 1.0, max(across) + 1.0, min(down) - 1.0, max(down) + 1.0


def crossings(line: DrawnLine, other: DrawnLine) -> list[tuple[bool, tuple[float, float]]]:
    """The points where two lines cross, each with whether `line` runs horizontally there."""
    found = []
    for (x1, y1), (x2, y2) in pairwise(line.points):
        for (u1, v1), (u2, v2) in pairwise(other.points):
            if y1 == y2 and u1 == u2 and min(x1, x2) < u1 < max(x1, x2) and min(v1, v2) < y1 < max(v1, v2):
                found.append((True, (u1, y1)))
            elif x1 == x2 and v1 == v2 and min(u1, u2) < x1 < max(u1, u2) and min(y1, y2) < v1 < max(y1, y2):
                found.append((False, (x1, v1)))
    return found


def _gap(is_horizontal: bool, line: DrawnLine, at: tuple[float, float], other: DrawnLine) -> Stroke:
    half = max(other.width, 2.0) / 2 + 0.6
    x, y = at
    points = ((x - half, y), (x + half, y)) if is_horizontal else ((x, y - half), (x, y + half))
    colour = line.halo or other.halo or PAPER
    return Stroke(points, colour, line.width + 3.0, (), Role.GAP, line.entry)


def any_marked(wires: Mapping[str, DrawnWire]) -> bool:
    return any(wire.mark in _HALOED or wire.named for wire in wires.values())
