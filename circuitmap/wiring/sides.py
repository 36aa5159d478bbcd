"""On which side of a cavity, fuse or lamp a wire ends: arriving first, leaving second.

The same two ends written in the opposite direction on another sheet are the same wire: it keeps the side that the first
sheet gave it.
"""

from collections.abc import Sequence

from circuitmap.problems import Related
from circuitmap.wiring.draft import Draft
from circuitmap.wiring.laying import Laid
from circuitmap.wiring.parts import Diode, Terminal
from circuitmap.wiring.written_names import Point, first_side, second_side


def terminals_of(draft: Draft, laid: Sequence[Laid]) -> list[tuple[Terminal, Terminal]]:
    """The two terminals of each wire, `a` then `b`."""
    turned = _turned(draft, laid)
    known: dict[tuple[Point, bool], Terminal] = {}

    def terminal(point: Point, arriving: bool, other: Point) -> Terminal:
        if not point.sided:
            arriving = True
        elif turned:
            arriving = turned.get((point, other), arriving)
        key = (point, arriving)
        found = known.get(key)
        if found is None:
            if not point.sided:
                found = Terminal(point.part, point.pin)
            else:
                side = first_side if arriving else second_side
                found = side(draft.parts[point.part], point.pin)
            known[key] = found
        return found

    return [(terminal(wire.a, False, wire.b), terminal(wire.b, True, wire.a)) for wire in laid]


def _turned(draft: Draft, laid: Sequence[Laid]) -> dict[tuple[Point, Point], bool]:
    """For points where some neighbour both arrives and leaves: whether each neighbour there arrives."""
    arriving: dict[tuple[Point, Point], bool] = {}
    unclear: set[Point] = set()
    for wire in laid:
        a, b = wire.a, wire.b
        if a.sided and arriving.setdefault((a, b), False):
            unclear.add(a)
        if b.sided and not arriving.setdefault((b, a), True):
            unclear.add(b)
    if not unclear:
        return {}
    found: dict[tuple[Point, Point], tuple[bool, Laid]] = {}
    doubtful = (wire for wire in laid if wire.a in unclear or wire.b in unclear)
    for wire in sorted(doubtful, key=lambda its: (its.on.order, its.a, its.b)):
        if wire.a in unclear:
            _settle(draft, found, wire.a, wire.b, False, wire)
        if wire.b in unclear:
            _settle(draft, found, wire.b, wire.a, True, wire)
    return {key: side for key, (side, _) in found.items()}


def _settle(
    draft: Draft,
    found: dict[tuple[Point, Point], tuple[bool, Laid]],
    point: Point,
    neighbour: Point,
    arriving: bool,
    wire: Laid,
) -> None:
    """Give `neighbour` a side at `point`: opposite to what the same chain meets across it, if that has one."""
    known = found.get((point, neighbour))
    if known is not None:
        side, first = known
        if side != arriving and isinstance(draft.parts[point.part], Diode) and point.part not in draft.doubted:
            draft.doubted.add(point.part)
            draft.error(
                "diode-turned",
                f"The diode {point.part} is drawn the other way round here.",
                wire.span,
                related=(Related(first.span, "drawn first here"),),
            )
        return
    across = wire.after if point == wire.b else wire.before
    other = found.get((point, across)) if across is not None else None
    found[point, neighbour] = (arriving if other is None else not other[0]), wire
