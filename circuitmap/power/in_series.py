"""Loads and coils that carry current through one another: a lamp that feeds a relay's coil, two lamps in a row.

Nothing behind a load counts as supplied. But where the way goes on through a second load to ground, a little current
flows through both: a lamp glows, a coil may pull in. How much depends on what the loads are, so such a load only may
draw. A module that has lost its ground passes current backwards as well, so all loads are taken to conduct both ways
here.
"""

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import NamedTuple

from circuitmap.circuit.blocks import blocks_from
from circuitmap.power.nets import NO, YES, Neighbours, Nets
from circuitmap.power.plan import Plan

PASS_NOTHING = ("alternator",)
"""What passes no current to others: its rectifier blocks what comes from the battery (common practice, no source)."""

MOST_STEPS = 5_000
"""Steps of the search for ways in the direction of the current, where there are diodes among loads in series
(judgement)."""


class Taker(NamedTuple):
    """A load path or a coil, between two nets."""

    a: int
    b: int


class Takers:
    """All load paths of the plan, then all coils; those with both sides typed in that are or may be fitted."""

    def __init__(self, plan: Plan, nets: Nets) -> None:
        self.nets = nets
        self.all: list[Taker | None] = []
        for path, (supply, ground, level) in zip(plan.paths, nets.paths, strict=True):
            whole = level != NO and path.supply_known and path.ground_known and supply != ground
            whole = whole and not path.controls and not path.needs
            whole = whole and plan.circuit.platform.parts[plan.loads[path.load]].kind not in PASS_NOTHING
            self.all.append(Taker(supply, ground) if whole else None)
        self.first_coil = len(self.all)
        for plus, minus, level in nets.coils:
            self.all.append(Taker(plus, minus) if level != NO and plus != minus else None)
        self.known = [(n, its) for n, its in enumerate(self.all) if its is not None]
        self.between = tuple(dict.fromkeys((its.a, its.b) for _, its in self.known))
        self.at: dict[int, list[tuple[int, int]]] = {}
        for n, its in self.known:
            self.at.setdefault(its.a, []).append((n, its.b))
            self.at.setdefault(its.b, []).append((n, its.a))

    def carrying(self, levels: Sequence[int], supply: list[int], ground: list[int]) -> frozenset[int]:
        """Numbers of the takers that carry current together with others but would carry none alone."""
        starts: set[int] = set()
        ends: set[int] = set()
        for a, b in self.between:
            if supply[a] or ground[a]:
                if not supply[b] and not ground[b]:
                    (starts if supply[a] else ends).add(b)
            elif supply[b] or ground[b]:
                (starts if supply[b] else ends).add(a)
        return self._carrying(starts, ends, levels, supply, ground)

    def _carrying(
        self, starts: set[int], ends: set[int], levels: Sequence[int], supply: list[int], ground: list[int]
    ) -> frozenset[int]:
        """The same, from the nets next to what is live and next to what is grounded."""
        if not starts or not ends:
            return frozenset()
        reached = self._spread(starts, self.nets.towards_load, levels, supply, ground)
        if not reached & ends:
            return frozenset()
        reached &= self._spread(ends, self.nets.towards_supply, levels, supply, ground)
        found: frozenset[int] = frozenset()
        while reached:
            piece = self.floating({next(iter(reached))}, levels, supply, ground) & reached
            reached -= piece
            found |= self._on_the_way(piece, levels, supply, ground)
        return found

    def floating(self, starts: Iterable[int], levels: Sequence[int], supply: list[int], ground: list[int]) -> set[int]:
        """The nets on neither side that are joined with these through loads and whatever conducts."""
        found = {net for net in starts if not supply[net] and not ground[net]}
        stack = list(found)
        around = self._around
        while stack:
            for other, gate in around[stack.pop()]:
                if other in found or supply[other] or ground[other] or (gate >= 0 and levels[gate] != YES):
                    continue
                found.add(other)
                stack.append(other)
        return found

    @cached_property
    def _around(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """For each net, those next to it, each with the gate between them, -1 for a load or coil."""
        nets = self.nets
        beside: list[dict[tuple[int, int], None]] = [
            dict.fromkeys((*nets.towards_load[net], *nets.towards_supply[net])) for net in range(nets.count)
        ]
        for net, its in self.at.items():
            beside[net].update(((other, -1), None) for _, other in its)
        return tuple(map(tuple, beside))

    def carrying_among(
        self, nets: set[int], levels: Sequence[int], supply: list[int], ground: list[int]
    ) -> frozenset[int]:
        """Like `carrying`, for the takers at these nets: whole pieces of wiring on neither side."""
        starts: set[int] = set()
        ends: set[int] = set()
        for net in nets:
            for _, other in self.at.get(net, ()):
                if supply[other]:
                    starts.add(net)
                elif ground[other]:
                    ends.add(net)
        return self._carrying(starts, ends, levels, supply, ground)

    def _spread(
        self,
        starts: set[int],
        neighbours: tuple[Neighbours, ...],
        levels: Sequence[int],
        supply: list[int],
        ground: list[int],
    ) -> set[int]:
        """Nets on neither side that current reaches through loads, or from which it goes on to ground."""
        found, stack = set(starts), list(starts)
        while stack:
            net = stack.pop()
            beyond = [other for other, gate in neighbours[net] if levels[gate] == YES]
            beyond += [other for _, other in self.at.get(net, ())]
            for other in beyond:
                if other not in found and not supply[other] and not ground[other]:
                    found.add(other)
                    stack.append(other)
        return found

    def _pieces(self, nets: set[int], levels: Sequence[int]) -> dict[int, int]:
        """For each of these nets, the least of those that closed contacts make one piece with it: nothing flows through
        a load beside a closed contact."""
        neighbours = self.nets.towards_load
        piece_of: dict[int, int] = {}
        for least in sorted(nets):
            stack = [] if least in piece_of else [least]
            while stack:
                net = stack.pop()
                if net in piece_of:
                    continue
                piece_of[net] = least
                for other, gate in neighbours[net]:
                    if other in nets and levels[gate] == YES and (net, gate) in neighbours[other]:
                        stack.append(other)
        return piece_of

    def _on_the_way(
        self, reached: set[int], levels: Sequence[int], supply: list[int], ground: list[int]
    ) -> frozenset[int]:
        """The takers that lie on some way from supply to ground that touches no net twice.

        In the graph with supply and ground as one node each and a link between the two, these are the takers in that
        link's block.
        """
        piece_of = self._pieces(reached, levels)
        order = {piece: n for n, piece in enumerate(sorted(set(piece_of.values())))}
        number = {net: order[piece] for net, piece in piece_of.items()}
        low, top = len(order), len(order) + 1
        neighbours: list[list[tuple[int, int]]] = [[] for _ in range(top + 1)]
        between = len(self.all)
        backwards: set[tuple[int, int]] = set()

        def node(net: int) -> int | None:
            return number.get(net, top if supply[net] else low if ground[net] else None)

        def join(link: int, a: int | None, b: int | None) -> None:
            if a is not None and b is not None and a != b:
                neighbours[a].append((link, b))
                neighbours[b].append((link, a))

        join(between, top, low)
        for n in sorted({n for net in reached for n, _ in self.at.get(net, ())}):
            taker = self.all[n]
            assert taker is not None
            join(n, node(taker.a), node(taker.b))
        for net in reached:
            for other, gate in self.nets.towards_load[net]:
                if other in reached and levels[gate] == YES and number[net] != number[other]:
                    join(between + 1 + gate, number[net], number[other])
                    backwards.add((between + 1 + gate, number[other]))
        for block in blocks_from(top, neighbours).blocks:
            inside = {link for link, _, _ in block.links}
            if between in inside:
                found = frozenset(link for link in inside if link < between)
                if any(link in inside for link, _ in backwards):
                    found &= _with_the_current(neighbours, top, low, inside - {between}, backwards)
                return found
        return frozenset()


def _with_the_current(
    neighbours: list[list[tuple[int, int]]], start: int, end: int, inside: set[int], backwards: set[tuple[int, int]]
) -> frozenset[int]:
    """The links of all ways from `start` to `end` that touch no node twice and pass no diode backwards.

    `backwards` are (link, node it must not be left from) pairs. Where there are too many ways the search ends early and
    says that any link may be on one.
    """
    found: set[int] = set()
    way: list[int] = []
    on_it = {start}
    turns = [iter(neighbours[start])]
    trail = [start]
    for _ in range(MOST_STEPS):
        here = trail[-1]
        for link, there in turns[-1]:
            if link not in inside or there in on_it or (link, here) in backwards:
                continue
            if there == end:
                found.update(way, (link,))
                continue
            way.append(link)
            trail.append(there)
            on_it.add(there)
            turns.append(iter(neighbours[there]))
            break
        else:
            turns.pop()
            on_it.discard(trail.pop())
            if not turns:
                return frozenset(found)
            way.pop()
    return frozenset(inside)
