"""On which side of a cavity, fuse or lamp a wire ends: arriving first, leaving second.

The same two ends written in the opposite direction on another sheet are the same wire: it keeps the side that the first
sheet gave it.
"""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.draft import PlatformDraft
from circuitmap.wiring.laying import Laid
from circuitmap.wiring.parts import Diode, Load, Terminal
from circuitmap.wiring.written_names import WireEnd, first_side, second_side


def terminals_of(draft: PlatformDraft, laid: Sequence[Laid]) -> list[tuple[Terminal, Terminal]]:
    """The two terminals of each wire, `a` then `b`."""
    turned = _turned(draft, laid)
    known: dict[tuple[WireEnd, bool], Terminal] = {}

    def terminal(point: WireEnd, arriving: bool, other: WireEnd) -> Terminal:
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


def _turned(draft: PlatformDraft, laid: Sequence[Laid]) -> dict[tuple[WireEnd, WireEnd], bool]:
    """For points where some neighbour is shown both arriving and leaving: whether each neighbour there arrives."""
    arriving: dict[tuple[WireEnd, WireEnd], bool] = {}
    unclear: dict[WireEnd, list[_Meeting]] = {}
    for wire in laid:
        a, b = wire.a, wire.b
        if a.sided and arriving.setdefault((a, b), False):
            unclear[a] = []
        if b.sided and not arriving.setdefault((b, a), True):
            unclear[b] = []
    if not unclear:
        return {}
    for wire in sorted(laid, key=lambda its: (its.on.order, its.a, its.b)):
        if wire.a in unclear:
            unclear[wire.a].append(_Meeting(wire.b, False, wire.before, wire))
        if wire.b in unclear:
            unclear[wire.b].append(_Meeting(wire.a, True, wire.after, wire))
    return {
        (point, neighbour): arrives
        for point, meetings in unclear.items()
        for neighbour, arrives in _sides_at(draft, point, meetings).items()
    }


class _Meeting(NamedTuple):
    """A neighbour at a point, as one chain shows it, and the neighbour that this chain meets across the point."""

    neighbour: WireEnd
    arrives: bool
    across: WireEnd | None
    wire: Laid


def _sides_at(draft: PlatformDraft, point: WireEnd, meetings: Sequence[_Meeting]) -> dict[WireEnd, bool]:
    """Whether each neighbour arrives.

    A neighbour that is always shown on the same side stays there, unless a chain joins it with one that is not. Any
    other takes the side across from what its chain meets; or else the side that nothing is on; or else that of the
    first sheet.
    """
    written: dict[WireEnd, _Meeting] = {}
    turned: dict[WireEnd, _Meeting] = {}
    across: dict[WireEnd, list[WireEnd]] = {}
    for meeting in meetings:
        first = written.setdefault(meeting.neighbour, meeting)
        if first.arrives != meeting.arrives:
            turned.setdefault(meeting.neighbour, meeting)
        if meeting.across is not None and meeting.across != meeting.neighbour:
            across.setdefault(meeting.neighbour, []).append(meeting.across)
    if isinstance(draft.parts[point.part], Diode):
        _report_turned(draft, point, written, turned)
    sides: dict[WireEnd, bool] = {}
    for neighbour, first in written.items():
        if neighbour not in turned and turned.keys().isdisjoint(across.get(neighbour, ())):
            sides[neighbour] = first.arrives
    waiting = sorted((n for n in written if n not in sides), key=lambda n: n not in turned)
    while waiting:
        told = next((n for n in waiting if any(other in sides for other in across.get(n, ()))), None)
        neighbour = waiting[0] if told is None else told
        waiting.remove(neighbour)
        if told is not None:
            sides[neighbour] = not next(sides[other] for other in across[neighbour] if other in sides)
        elif len(taken := {side for other, side in sides.items() if written[other].wire.kind != "chart"}) == 1:
            sides[neighbour] = not next(iter(taken))
        else:
            sides[neighbour] = written[neighbour].arrives
            if neighbour in turned and isinstance(draft.parts[point.part], Load):
                _tell_both_ways(draft, point, written[neighbour], turned[neighbour])
    return sides


def _tell_both_ways(draft: PlatformDraft, point: WireEnd, first: _Meeting, again: _Meeting) -> None:
    """On a single sheet their order does not say which of two directions is meant; the same side is taken in either
    order."""
    if first.wire.on.order != again.wire.on.order or point.part in draft.doubted:
        return
    side = "supply" if first.arrives else "ground"
    draft.problems.append(
        Problem(
            "drawn-both-ways",
            Severity.NOTE,
            f"{point.part} is drawn in both directions: {first.neighbour.part} is taken for its {side} side.",
            again.wire.span,
            related=(Related(first.wire.span, "in the other direction here"),),
            advice=f"Write every wire from the supply to the ground, or name the pins of {point.part}.",
        )
    )


def _report_turned(
    draft: PlatformDraft, point: WireEnd, written: dict[WireEnd, _Meeting], turned: dict[WireEnd, _Meeting]
) -> None:
    """A diode is the one part for which it matters which way round it is."""
    if point.part in draft.doubted or not turned:
        return
    neighbour = next(iter(turned))
    draft.doubted.add(point.part)
    draft.error(
        "diode-turned",
        f"The diode {point.part} is drawn the other way round here.",
        turned[neighbour].wire.span,
        related=(Related(written[neighbour].wire.span, "drawn first here"),),
    )
