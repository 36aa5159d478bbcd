"""On which side of a cavity, fuse or lamp a wire ends: arriving first, leaving second.

The same two ends written in the opposite direction on another sheet are the same wire: it keeps the side that the first
sheet gave it.
"""

from collections.abc import Mapping, Sequence

from circuitmap.wiring.laying import Laid
from circuitmap.wiring.parts import Part, Terminal
from circuitmap.wiring.written_names import Point, first_side, second_side

Place = tuple[str, str]


def terminals_of(laid: Sequence[Laid], parts: Mapping[str, Part]) -> list[tuple[Terminal, Terminal]]:
    """The two terminals of each wire, `a` then `b`."""
    turned = _turned(laid)
    known: dict[tuple[Point, bool], Terminal] = {}

    def terminal(point: Point, arriving: bool, other: Point) -> Terminal:
        if not point.sided:
            arriving = True
        elif turned:
            arriving = turned.get((point[:2], other[:2]), arriving)
        key = (point, arriving)
        found = known.get(key)
        if found is None:
            if not point.sided:
                found = Terminal(point.part, point.pin)
            else:
                side = first_side if arriving else second_side
                found = side(parts[point.part], point.pin)
            known[key] = found
        return found

    return [(terminal(wire.a, False, wire.b), terminal(wire.b, True, wire.a)) for wire in laid]


def _turned(laid: Sequence[Laid]) -> dict[tuple[Place, Place], bool]:
    """For places where some neighbour both arrives and leaves: the one side each neighbour there gets."""
    sides: dict[tuple[Place, Place], bool] = {}
    unclear: set[Place] = set()
    for wire in laid:
        a, b = wire.a, wire.b
        if a.sided and sides.setdefault((a[:2], b[:2]), False):
            unclear.add(a[:2])
        if b.sided and not sides.setdefault((b[:2], a[:2]), True):
            unclear.add(b[:2])
    if not unclear:
        return {}
    found: dict[tuple[Place, Place], bool] = {}
    first_sheets_first = sorted(laid, key=lambda its: (its.on.order, its.a, its.b))
    for wire in first_sheets_first:
        here, there = (wire.a.part, wire.a.pin), (wire.b.part, wire.b.pin)
        if here in unclear:
            _settle(found, here, there, False, wire.before)
        if there in unclear:
            _settle(found, there, here, True, wire.after)
    return found


def _settle(
    found: dict[tuple[Place, Place], bool],
    place: Place,
    neighbour: Place,
    as_written: bool,
    across: Point | None,
) -> None:
    """Give `neighbour` a side at `place`: opposite to what the same chain meets across it, if that has one."""
    if (place, neighbour) in found:
        return
    other = found.get((place, across[:2])) if across is not None else None
    found[place, neighbour] = as_written if other is None or across is None else not other
