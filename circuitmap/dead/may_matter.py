"""Which links may matter to certain loads: those that every way to one of their pins has to pass, and the same for the
coils, modules and wake pins on which contacts and outputs on that way hang.

It errs on the side of taking in too much: what really is dead without a link is settled anew for each.
"""

from collections.abc import Iterable, Sequence

from circuitmap.circuit.links import NEVER_CROSSED
from circuitmap.power.evaluate import Powered
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import NO, YES, every_source
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Relay, Terminal


class MayMatter:
    """`only` are the links that all ways to something pass, `near` the nodes on the ways that were looked at, `asked`
    the parts that were looked at."""

    def __init__(self, powered: Powered, loads: Iterable[str]) -> None:
        self.powered = powered
        plan = powered.plan
        sources = [cell for cell, _ in every_source(plan, powered.nets, powered.state)]
        pluses, minuses = [cell.plus for cell in sources], [cell.minus for cell in sources]
        batteries = (1 << len(plan.cells)) - 1
        ground, net_of = powered.settled.reach.ground, powered.nets.net_of
        bodies = [node for node in plan.returns if not ground[net_of[node]] & batteries]  # joined to no minus by wire
        self._trees = (
            _Tree(powered, [*pluses, *plan.unknown_supplies, *(node for node, _ in plan.stated)], supply=True),
            _Tree(powered, [*minuses, *bodies, *plan.unknown_grounds], supply=False),
        )
        self.only: set[int] = set()
        self.near: set[int] = set()
        self.asked: set[str] = set()
        self._followed: set[tuple[int, int]] = set()
        self._todo = list(loads)
        while self._todo:
            name = self._todo.pop()
            if name not in self.asked:
                self.asked.add(name)
                self._look_at(name)

    def _look_at(self, name: str) -> None:
        circuit, plan = self.powered.circuit, self.powered.plan
        nodes: list[int] = []
        if name in circuit.loads:
            load = plan.loads.index(name)
            for path in (plan.paths[n] for n in plan.paths_of[load]):
                nodes += [path.supply, path.ground, *(its.node for its in path.controls if its.node >= 0), *path.needs]
        nodes += [node for coil in plan.coils if coil.relay == name for node in (coil.plus, coil.minus)]
        part = circuit.platform.parts.get(name)
        if isinstance(part, Relay) and part.flashes:
            nodes += [node for pin in part.coil if (node := circuit.number.get(Terminal(name, pin))) is not None]
        for number in plan.sleepers_called(name):
            nodes += [pin.node for pin in plan.sleepers[number].wake_pins]
            self._woken_by(name)
        for tree in self._trees:
            for node in nodes:
                self._follow(tree, node)

    def _woken_by(self, name: str) -> None:
        """Whoever keeps a network awake that wakes this module."""
        powered = self.powered
        platform = powered.circuit.platform
        for network in platform.networks_of.get(name, ()):
            if powered.networks.get(network, Answer.NO) != Answer.NO:
                for member in platform.networks[network].member_names:
                    if powered.awake.get(member, Answer.NO) != Answer.NO:
                        self._todo.append(member)

    def _follow(self, tree: "_Tree", node: int) -> None:
        circuit = self.powered.circuit
        while node in tree.before:
            self.near.add(node)
            i, above = tree.before[node]
            if i < 0:
                break
            if tree.is_bridge(node):
                self.only.add(i)
            link = circuit.links[i]
            if link.contact:
                self._todo.append(link.part)
                if link.output is not None:
                    if link.output.when == "live":
                        self._todo.append(link.output.contact)
                    for pin in link.output.inputs:
                        at = circuit.number.get(Terminal(link.output.module, pin))
                        if at is not None:
                            for other in self._trees:
                                self._follow_once(other, at)
                elif not isinstance(circuit.platform.parts.get(link.part), Relay):
                    self.asked.add(link.part)
            node = above

    def _follow_once(self, tree: "_Tree", node: int) -> None:
        if (id(tree), node) not in self._followed:
            self._followed.add((id(tree), node))
            self._follow(tree, node)

    def may(self, links: Sequence[int]) -> bool:
        """Whether interrupting all of these may matter."""
        if len(links) == 1:
            link = self.powered.circuit.links[links[0]]
            return links[0] in self.only or (link.kind in ("coil", "resistor") and link.part in self.asked)
        ends = self.powered.circuit.ends
        return any(node in self.near for i in links for node in ends[i])


class _Tree:
    """One search from all sources of one side: for each node the link by which it was come to and the node before it,
    and whether nothing else leads there (low points, Tarjan 1972)."""

    def __init__(self, powered: Powered, sources: Sequence[int], *, supply: bool) -> None:
        circuit = powered.circuit
        seen, net_of = powered.settled.reach, powered.nets.net_of
        certain = seen.supply if supply else seen.ground
        perhaps = seen.perhaps_supply if supply else seen.perhaps_ground
        at: dict[int, list[tuple[int, int]]] = {}
        for i, link in enumerate(circuit.links):
            level = level_of(powered, i)
            bleeds = link.kind == "resistor" and link.part in circuit.loads
            if link.kind in NEVER_CROSSED or bleeds or level == NO:
                continue
            a, b = circuit.ends[i]
            ways = ((a, b), (b, a)) if not link.one_way else ((a, b),) if supply else ((b, a),)
            for start, end in ways:
                # What only may conduct is no second way to what is live, or grounded, for certain.
                if perhaps[net_of[end]] and (level == YES or not certain[net_of[end]]):
                    at.setdefault(start, []).append((i, end))
        root = -1
        at[root] = [(-2 - n, source) for n, source in enumerate(dict.fromkeys(sources)) if perhaps[net_of[source]]]
        into: dict[int, list[tuple[int, int]]] = {}
        for start, onward in at.items():
            for by, end in onward:
                into.setdefault(end, []).append((by, start))
        self.before: dict[int, tuple[int, int]] = {}
        self._order = {root: 0}
        stack = [(root, iter(at[root]))]
        while stack:
            node, rest = stack[-1]
            for by, other in rest:
                if other not in self._order:
                    self._order[other] = len(self._order)
                    self.before[other] = by, node
                    stack.append((other, iter(at.get(other, ()))))
                    break
            else:
                stack.pop()
        self._low = dict(self._order)
        for node in sorted(self.before, key=self._order.__getitem__, reverse=True):
            came_by, above = self.before[node]
            entries = [self._order.get(start, self._low[node]) for by, start in into.get(node, ()) if by != came_by]
            self._low[node] = min([self._low[node], *entries])
            self._low[above] = min(self._low[above], self._low[node])

    def is_bridge(self, node: int) -> bool:
        """Whether the link by which a node was come to is the only way to it."""
        return self._low[node] > self._order[self.before[node][1]]
