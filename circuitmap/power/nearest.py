"""The shortest way from a place to where its supply or ground comes from, over what conducts in a state.

The search starts from the place and is led by a lower bound of how far away the sources are (A*, Hart, Nilsson and
Raphael 1968). Where much is asked of one state, one search from the sources finds the ways to all places at once.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from heapq import heappop, heappush
from typing import Literal, NamedTuple

from circuitmap.circuit.links import NEVER_CROSSED, Circuit
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO, YES, every_source
from circuitmap.power.plan import plan_of
from circuitmap.wiring.fitting import holds

Side = Literal["supply", "ground"]

_NO_BATTERY_IS_LONGER = 500
A_MAY_BE_IS_LONGER = 100_000
"""A way with one uncertain step is shown only when there is no certain one, however long."""
_ONE_BY_ONE = 100_000
"""How many places are looked at, searching way by way, before all ways in a state are found at once."""

_WORTH_KEEPING = 8
"""A way is kept if more than this many of its links are shared with no other way."""

Way = tuple[list[int], list[int]]
"""Nodes from a source onward, and the links between them (-1: a bridge)."""


def way_to(powered: Powered, node: int, side: Side) -> Way:
    """The shortest of the most certain ways from a source to a node that is, or may be, live (or grounded)."""
    sides = powered.derived(_NearestOf)
    return (sides.supply if side == "supply" else sides.ground).way(node)


def level_of(powered: Powered, link: int) -> int:
    """How surely a link conducts in this state."""
    gate = powered.nets.gate_of_link.get(link)
    if gate is not None:
        return powered.settled.levels[gate]
    return NO if powered.circuit.links[link].kind in NEVER_CROSSED else powered.nets.link_level[link]


class Nearest:
    """The ways in one state on one side."""

    def __init__(self, powered: Powered, side: Side) -> None:
        self.powered, self.side = powered, side
        seen = powered.settled.reach
        self.certain = seen.supply if side == "supply" else seen.ground
        self.perhaps = seen.perhaps_supply if side == "supply" else seen.perhaps_ground
        self.sources = _sources(powered, side)
        self._bounds = _bounds(powered.circuit, side)
        self._looked_at = 0
        self._trees: dict[bool, tuple[Mapping[int, tuple[int, int]], dict[int, tuple[Way, int]]]] = {}
        """The tree of all ways, and for nodes on ways that were walked, the way from there on."""

    def way(self, node: int) -> Way:
        certainly = bool(self.certain[self.powered.nets.net_of[node]])
        # The bounds know batteries only: what else feeds is found by the tree, which grows from all sources.
        if self._looked_at > _ONE_BY_ONE or self.powered.state.feeding:
            return self._in_tree(node, certainly)
        return self._straight(node) or self._searched(node, certainly)

    def _straight(self, node: int) -> Way | None:
        """The way, where one as short as possible conducts: each of its steps is certain and leads one nearer to a
        source."""
        if self.powered.state.bridged:
            return None
        least, nearer = self._bounds.least, self._bounds.nearer
        before: dict[int, tuple[int, int]] = {}
        reached, todo, ends = {node}, [node], []
        for at in todo:
            if self.sources.get(at) == least[at]:
                ends.append(at)
            for by, other in nearer[at]:
                if level_of(self.powered, by) != YES:
                    continue
                if other not in reached:
                    reached.add(other)
                    todo.append(other)
                    before[other] = by, at
                elif (by, at) < before[other]:
                    before[other] = by, at
            self._looked_at += len(nearer[at])
        return self._back(self._best(ends), node, before) if ends else None

    def _best(self, ends: list[int]) -> int:
        """Of equally near sources: the least credible one, since the way to it is shorter and so would be found
        first."""
        ends.sort()
        return next((its for its in ends if self.sources[its] > 0), ends[0])

    @staticmethod
    def _back(source: int, node: int, before: Mapping[int, tuple[int, int]]) -> Way:
        nodes, links = [source], []
        while nodes[-1] != node:
            by, nearer = before[nodes[-1]]
            links.append(by)
            nodes.append(nearer)
        return nodes, links

    def _searched(self, node: int, certainly: bool) -> Way:
        """Of several equally good ways, the one with the smaller numbers from the source onward is taken."""
        net_of = self.powered.nets.net_of
        least = [0] * len(net_of) if self.powered.state.bridged else self._bounds.least
        may_pass = self.certain if certainly else self.perhaps
        best = {node: 0}
        before: dict[int, tuple[int, int]] = {}
        ends: dict[int, int] = {}
        end: int | None = None
        done: set[int] = set()
        queue = [(least[node], 0, node)]
        while queue:
            at_least, cost, at = heappop(queue)
            if end is not None and at_least > end:
                break
            if at in done:
                continue
            done.add(at)
            self._looked_at += len(self.powered.circuit.at[at])
            if at in self.sources and not (certainly and self.sources[at] >= A_MAY_BE_IS_LONGER):
                ends[at] = cost + self.sources[at]
                end = ends[at] if end is None else min(end, ends[at])
            for other, by, level in self._beyond(at):
                if not may_pass[net_of[other]]:
                    continue
                its = cost + 1 + (0 if level == YES else A_MAY_BE_IS_LONGER)
                known = best.get(other)
                if known is None or its < known:
                    best[other] = its
                    before[other] = by, at
                    heappush(queue, (its + least[other], its, other))
                elif its == known and other != node and (by, at) < before[other]:
                    before[other] = by, at
        if end is None:
            raise AssertionError("a terminal is live and nothing feeds it")
        return self._back(self._best([source for source, its in ends.items() if its == end]), node, before)

    def _in_tree(self, node: int, certainly: bool) -> Way:
        if certainly not in self._trees:
            self._trees[certainly] = self._tree(certainly), {}
        towards, walked = self._trees[certainly]
        nodes: list[int] = [node]
        links: list[int] = []
        while nodes[-1] not in walked and (step := towards.get(nodes[-1])) is not None:
            links.append(step[0])
            nodes.append(step[1])
        own = len(links)
        if nodes[-1] in walked:
            (its_nodes, its_links), at = walked[nodes[-1]]
            nodes += its_nodes[at + 1 :]
            links += its_links[at:]
        if own > _WORTH_KEEPING:
            walked.update((its, ((nodes, links), at)) for at, its in enumerate(nodes[: own + 1]) if its not in walked)
        return nodes[::-1], links[::-1]

    def _tree(self, certainly: bool) -> Mapping[int, tuple[int, int]]:
        """For each node the link towards the nearest source, and the node that it leads to; none at a source."""
        net_of = self.powered.nets.net_of
        may_pass = self.certain if certainly else self.perhaps
        found: dict[int, tuple[int, int]] = {}
        done: set[int] = set()
        queue = [
            (cost, source, -2, -1)
            for source, cost in self.sources.items()
            if may_pass[net_of[source]] and not (certainly and cost >= A_MAY_BE_IS_LONGER)
        ]
        queue.sort()
        while queue:
            cost, at, link, nearer = heappop(queue)
            if at in done:
                continue
            done.add(at)
            if nearer >= 0:
                found[at] = link, nearer
            for other, by, level in self._beyond(at, outward=True):
                if other not in done and may_pass[net_of[other]]:
                    heappush(queue, (cost + 1 + (0 if level == YES else A_MAY_BE_IS_LONGER), other, by, at))
        return found

    def _beyond(self, at: int, outward: bool = False) -> Iterator[tuple[int, int, int]]:
        """Nodes one conducting link nearer to the source, against the current for supply and with it for ground; or,
        `outward`, those from which this one is nearer."""
        powered = self.powered
        circuit, nets = powered.circuit, powered.nets
        against = (self.side == "supply") != outward
        for i in circuit.at[at]:
            level = level_of(powered, i)
            if level == NO:
                continue
            a, b = circuit.ends[i]
            link = circuit.links[i]
            if link.kind == "battery":
                if nets.link_level[i] != NO and at == (a if against else b):
                    yield (b if at == a else a), i, level
            elif not link.one_way or at == (b if against else a):
                yield (b if at == a else a), i, level
        for start, end in powered.state.bridged:
            for here, there in ((start, end), (end, start)):
                if circuit.number.get(here) == at and there in circuit.number:
                    yield circuit.number[there], -1, YES


def _sources(powered: Powered, side: Side) -> dict[int, int]:
    """Nodes that a way may start from, each with the cost of believing in it."""
    nets, starts = powered.nets, powered.run.starts
    certain = starts.supply if side == "supply" else starts.ground
    certain_nets = {net for net, _ in certain}
    found: dict[int, int] = {}
    for node in powered.plan.unknown_supplies if side == "supply" else powered.plan.unknown_grounds:
        found[node] = A_MAY_BE_IS_LONGER
    perhaps_nets = {net for net, _ in starts.perhaps_supply}
    for node, stated in powered.plan.stated if side == "supply" else ():
        if nets.net_of[node] in certain_nets:
            found[node] = 0
        elif nets.net_of[node] in perhaps_nets and holds(stated.condition, powered.state.fitting) != NO:
            found[node] = A_MAY_BE_IS_LONGER  # what it says counts with equipment that nobody mentioned
    for cell, source in every_source(powered.plan, nets, powered.state):
        if source.level != NO:
            found[cell.plus if side == "supply" else cell.minus] = 0 if source.level == YES else A_MAY_BE_IS_LONGER
    if side == "ground":
        # The body is ground even while no battery is joined to it, but a battery's post is the better end of a way.
        found.update(dict.fromkeys(powered.plan.returns, _NO_BATTERY_IS_LONGER))
    return found


class _NearestOf:
    """The ways in one state, each side worked out when it is asked for."""

    def __init__(self, powered: Powered) -> None:
        self._powered = powered

    @cached_property
    def supply(self) -> Nearest:
        return Nearest(self._powered, "supply")

    @cached_property
    def ground(self) -> Nearest:
        return Nearest(self._powered, "ground")


class Bounds(NamedTuple):
    """For each node, the least that a way can cost, whatever conducts, and the links of ways that cost no more, each
    with the node that it leads to."""

    least: Sequence[int]
    nearer: Sequence[Sequence[tuple[int, int]]]


def _bounds(circuit: Circuit, side: Side) -> Bounds:
    sides = circuit.derived(_BoundsOf)
    return sides.supply if side == "supply" else sides.ground


class _BoundsOf:
    """The bounds of one circuit, each side worked out when it is asked for."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit

    @cached_property
    def supply(self) -> Bounds:
        return self._of("supply")

    @cached_property
    def ground(self) -> Bounds:
        return self._of("ground")

    def _of(self, side: Side) -> Bounds:
        least = _least_costs(self._circuit, side)
        return Bounds(least, _nearer(self._circuit, side, least))


def _nearer(circuit: Circuit, side: Side, least: Sequence[int]) -> Sequence[Sequence[tuple[int, int]]]:
    found: list[list[tuple[int, int]]] = [[] for _ in circuit.nodes]
    for i, (a, b) in enumerate(circuit.ends):
        link = circuit.links[i]
        ends: tuple[tuple[int, int], ...]
        if link.kind == "battery":
            ends = ((a, b),) if side == "supply" else ((b, a),)
        elif link.kind in NEVER_CROSSED:
            continue
        elif link.one_way:
            ends = ((b, a),) if side == "supply" else ((a, b),)
        else:
            ends = (a, b), (b, a)
        for start, end in ends:
            if least[start] == least[end] + 1:
                found[start].append((i, end))
    return found


def _least_costs(circuit: Circuit, side: Side) -> Sequence[int]:
    plan = plan_of(circuit)
    starts: dict[int, int] = {}
    if side == "supply":
        starts.update(dict.fromkeys(plan.unknown_supplies, A_MAY_BE_IS_LONGER))
        starts.update((node, 0) for node, _ in plan.stated)
        starts.update((cell.plus, 0) for cell in plan.cells)
    else:
        starts.update(dict.fromkeys(plan.unknown_grounds, A_MAY_BE_IS_LONGER))
        starts.update(dict.fromkeys(plan.returns, _NO_BATTERY_IS_LONGER))
        starts.update((cell.minus, 0) for cell in plan.cells)
    never = 2 * A_MAY_BE_IS_LONGER * (len(circuit.links) + 1)
    found = [never] * len(circuit.nodes)
    queue = sorted((cost, node) for node, cost in starts.items())
    while queue:
        cost, at = heappop(queue)
        if found[at] <= cost:
            continue
        found[at] = cost
        for i in circuit.at[at]:
            link = circuit.links[i]
            a, b = circuit.ends[i]
            if link.kind != "battery" and link.kind in NEVER_CROSSED:
                continue
            if found[b if at == a else a] > cost + 1:
                heappush(queue, (cost + 1, b if at == a else a))
    return found
