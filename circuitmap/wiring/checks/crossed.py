"""Plus and ground in one net: which wire joins them."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Wire

_MOST_WIRES = 300
"""In a net with more wires than this nothing is tried: the cost grows with the square."""


class Cut(NamedTuple):
    """`wire` alone joins the `plus` ends with the `ground` ends: without it each side is what it should be. `plus_end`
    and `ground_end` are its own ends on either side."""

    wire: Wire
    plus_end: Terminal
    ground_end: Terminal


def cuts_between(wires: Collection[Wire], plus: Collection[Terminal], ground: Collection[Terminal]) -> tuple[Cut, ...]:
    """Every wire of a net that alone joins all of its plus ends with all of its ground ends; none where there are two
    such ways, or where plus and ground alternate."""
    if len(wires) > _MOST_WIRES or not plus or not ground:
        return ()
    found = []
    for wire in wires:
        rest = [other for other in wires if other is not wire]
        side = _joined(wire.a, rest)
        if _node(wire.b) in side:
            continue
        is_plus = [_node(terminal) in side for terminal in plus]
        is_ground = [_node(terminal) in side for terminal in ground]
        if all(is_plus) and not any(is_ground):
            found.append(Cut(wire, wire.a, wire.b))
        elif all(is_ground) and not any(is_plus):
            found.append(Cut(wire, wire.b, wire.a))
    return tuple(found)


def _joined(start: Terminal, wires: Iterable[Wire]) -> set[tuple[str, str]]:
    """Everything that these wires join with a terminal; the two halves of a cavity count as one."""
    at: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for wire in wires:
        at.setdefault(_node(wire.a), []).append(_node(wire.b))
        at.setdefault(_node(wire.b), []).append(_node(wire.a))
    reached, waiting = {_node(start)}, [_node(start)]
    while waiting:
        for other in at.get(waiting.pop(), ()):
            if other not in reached:
                reached.add(other)
                waiting.append(other)
    return reached


def _node(terminal: Terminal) -> tuple[str, str]:
    return terminal.part, terminal.pin
