"""How far supply and ground get once some gates have moved, worked out from how far they got before: only what the move
touches is looked at again.

Where something was lost, its spread is followed as far as it led, emptied, and filled again from around it; where
something was gained, it is spread from there. The result equals that of `reach`, to the bit.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from circuitmap.power.nets import MAY_BE, YES, Neighbours

Edge = tuple[int, int]


class Side(NamedTuple):
    """Either supply or ground: where it spreads to, where it comes from, what keeps it out."""

    out: tuple[Neighbours, ...]
    into: tuple[Neighbours, ...]
    kept_out: Sequence[int]


class Moved(NamedTuple):
    """Gates that conduct differently than before; `levels` are those before and now."""

    before: Sequence[int]
    now: Sequence[int]
    gates: Iterable[int]
    edges: Sequence[tuple[Edge, ...]]
    """For each gate the pairs of nets between which it leads, in the direction in which supply spreads."""

    passes: Sequence[int]
    """For each gate the bits that it lets pass of what may be."""

    def opened(self, enough: int, backwards: bool) -> list[Edge]:
        return [(a, b) for a, b, _ in self._turned(enough, backwards, self.before, self.now)]

    def closed(self, enough: int, backwards: bool) -> list[tuple[int, int, int]]:
        """The pairs of nets, each with the bits that pass between them."""
        return self._turned(enough, backwards, self.now, self.before)

    def _turned(
        self, enough: int, backwards: bool, its: Sequence[int], other: Sequence[int]
    ) -> list[tuple[int, int, int]]:
        moved = (g for g in self.gates if its[g] >= enough > other[g])
        found = [(*edge, self.passes[g]) for g in moved for edge in self.edges[g]]
        return [(b, a, bits) for a, b, bits in found] if backwards else found


Starts = Mapping[int, int]
"""The bits that begin at a net."""


def respread(
    bits: list[int], side: Side, moved: Moved, backwards: bool, starts: Starts, restarted: Iterable[int]
) -> set[int]:
    """Bring what is certain up to date, in place, and return the nets that were looked at. `restarted` are nets at
    which different bits begin than before."""
    out, into, kept_out = side
    levels = moved.now
    lost = [b for a, b in moved.opened(YES, backwards) if bits[a] & bits[b]]
    region = _led_to([*lost, *restarted], bits, out, moved.before, YES)
    for net in region:
        bits[net] = starts.get(net, 0)
    todo = []
    for net in region:
        filled = bits[net]
        for other, gate in into[net]:
            if levels[gate] >= YES and other not in region:
                filled |= bits[other] & ~kept_out[net]
        bits[net] = filled
        if filled:
            todo.append(net)
    touched = set(region)
    for a, b, _ in moved.closed(YES, backwards):
        new = bits[a] & ~bits[b] & ~kept_out[b]
        if new:
            bits[b] |= new
            todo.append(b)
            touched.add(b)
    while todo:
        net = todo.pop()
        its = bits[net]
        for other, gate in out[net]:
            if levels[gate] >= YES:
                new = its & ~bits[other] & ~kept_out[other]
                if new:
                    bits[other] |= new
                    todo.append(other)
                    touched.add(other)
    return touched


def _led_to(
    lost: list[int], bits: Sequence[int], out: tuple[Neighbours, ...], before: Sequence[int], enough: int
) -> set[int]:
    """The nets at which something was lost, and all that it may have led to through gates as they were before."""
    region, stack = set(lost), lost
    while stack:
        net = stack.pop()
        its = bits[net]
        for other, gate in out[net]:
            if other not in region and before[gate] >= enough and its & bits[other]:
                region.add(other)
                stack.append(other)
    return region


class Certain(NamedTuple):
    """What is certain of one side, before and now, and the nets where the two may differ."""

    before: Sequence[int]
    now: Sequence[int]
    touched: set[int]


def respread_further(
    bits: list[int],
    side: Side,
    moved: Moved,
    backwards: bool,
    starts: Starts,
    restarted: Iterable[int],
    own: Certain,
    opposite: Certain,
) -> set[int]:
    """The same for what may be: it includes what is certain of its own side and stops where the other side is
    certain."""
    out, into, _ = side
    levels = moved.now
    lost = [b for a, b in moved.opened(MAY_BE, backwards) if bits[a] & bits[b]]
    lost += restarted
    lost += [net for net in own.touched if own.before[net] & ~own.now[net]]
    lost += [net for net in opposite.touched if opposite.now[net] and not opposite.before[net] and bits[net]]
    region = _led_to(lost, bits, out, moved.before, MAY_BE)
    again = region | {net for net in opposite.touched if opposite.before[net] and not opposite.now[net]}
    for net in region:
        bits[net] = own.now[net]
    todo = []
    for net in again:
        filled = bits[net]
        if not opposite.now[net]:
            filled |= starts.get(net, 0)
            for other, gate in into[net]:
                if levels[gate] >= MAY_BE and other not in region:
                    filled |= bits[other] & moved.passes[gate]
        bits[net] = filled
        if filled:
            todo.append(net)
    touched = set(again)
    for net in own.touched:
        new = own.now[net] & ~bits[net]
        if new:
            bits[net] |= new
            todo.append(net)
            touched.add(net)
    for a, b, passes in moved.closed(MAY_BE, backwards):
        new = bits[a] & passes & ~bits[b]
        if new and not opposite.now[b]:
            bits[b] |= new
            todo.append(b)
            touched.add(b)
    while todo:
        net = todo.pop()
        its = bits[net]
        for other, gate in out[net]:
            if levels[gate] >= MAY_BE:
                new = its & moved.passes[gate] & ~bits[other]
                if new and not opposite.now[other]:
                    bits[other] |= new
                    todo.append(other)
                    touched.add(other)
    return touched
