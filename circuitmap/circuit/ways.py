"""Every way from the batteries to a point, or from a point to ground.

Every contact and output may be closed, but not two at once that exclude each other; nothing is supplied through a
load or a coil. The search is bounded, and says so when it was cut off.
"""

from collections.abc import Iterable, Mapping, Sequence
from heapq import heappop, heappush
from itertools import count, pairwise
from typing import Literal, NamedTuple

from circuitmap.circuit.blocks import Block, blocks_from
from circuitmap.circuit.demands import Demands, demands_of, key_of, together
from circuitmap.circuit.link import NEVER_CROSSED
from circuitmap.circuit.links import METAL, Circuit
from circuitmap.circuit.parked import told_apart
from circuitmap.circuit.path import PROTECTIVE, Path, Paths, Step
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Terminal

MOST_PATHS = 64
"""Ways to one terminal that are listed (judgement: more are not read)."""
MOST_STEPS = 20_000
"""Partial ways that are made inside one block for one point (judgement: about a tenth of a second)."""

NO_CONTACTS: frozenset[str] = frozenset()


class _Way(NamedTuple):
    """A way from a root to `node`, as the last link and the way before it; `link` is -1 at the root."""

    before: "_Way | None"
    link: int
    node: int
    demands: Demands
    contacts: frozenset[str]
    length: int

    def visits(self, node: int) -> bool:
        here: _Way | None = self
        while here is not None:
            if here.node == node:
                return True
            here = here.before
        return False


class Ways:
    """All ways of one circuit with one fitting, on the supply side or on the ground side.

    On the supply side they start at the batteries and at places that may be live for reasons nobody transcribed; on
    the ground side they end at the body, at battery minuses, or at places that may be grounded so. What is always
    grounded is no way for a supply, and what is always live none for a ground.
    """

    def __init__(self, circuit: Circuit, fitting: Fitting, side: Literal["supply", "ground"]) -> None:
        self.circuit = circuit
        self.side = side
        self._key = key_of(circuit.platform)
        known, unknown, far, far_unless = (
            (circuit.supplies, circuit.unknown_supplies, circuit.returns, circuit.supplies)
            if side == "supply"
            else (circuit.returns, circuit.unknown_grounds, circuit.supplies, circuit.returns)
        )
        fitted = [holds(link.condition, fitting) if link.condition else Answer.YES for link in circuit.links]
        number, parts = circuit.number, circuit.platform.parts
        absent = {t for t in (*known, *far) if t.part in parts and holds(parts[t.part].condition, fitting) == Answer.NO}
        forbidden = self._always(fitted, (number[t] for t in far if t not in absent))
        if forbidden & {number[t] for t in far_unless}:
            forbidden = {number[t] for t in far}  # a plus is typed to ground: a slip, not a reason to answer nothing
        self._known = {number[t] for t in known if t not in absent}
        forbidden -= self._known
        also = {number[t] for t in unknown} - self._known - forbidden
        self._roots = (*sorted(self._known), *sorted(also))

        self.usable = tuple(
            i
            for i, (a, b) in enumerate(circuit.ends)
            if a != b
            and circuit.links[i].kind not in NEVER_CROSSED
            and fitted[i] != Answer.NO
            and a not in forbidden
            and b not in forbidden
        )
        """Numbers of the links that a way on this side may take."""

        self._body_points = {
            circuit.ends[i][0]
            for i in self.usable
            if side == "ground" and circuit.links[i].kind == "body" and circuit.nodes[circuit.ends[i][0]].pin == ""
        }
        self._top = len(circuit.nodes)
        merged = set(self._roots) if side == "ground" else set()
        neighbours: list[list[tuple[int, int]]] = [[] for _ in range(self._top + 1)]
        for i in self.usable:
            a, b = circuit.ends[i]
            if a in merged and b in merged:
                continue
            # On the ground side a way ends at the first ground it meets, so all of them are one node there.
            a, b = self._top if a in merged else a, self._top if b in merged else b
            neighbours[a].append((i, b))
            neighbours[b].append((i, a))
        for k, root in enumerate(self._roots):
            if root not in merged:
                neighbours[self._top].append((-2 - k, root))
                neighbours[root].append((-2 - k, self._top))
        self._above = blocks_from(self._top, neighbours).above
        self._ways: dict[int, tuple[tuple[_Way, ...], bool]] = {}
        self._around: dict[int, Mapping[int, Sequence[tuple[int, int]]]] = {}

    def to(self, terminal: Terminal, without: frozenset[int] = frozenset()) -> Paths:
        """Ways from the batteries to `terminal`, or from it to ground; not those that end with a link in `without`."""
        node = self.circuit.number.get(terminal)
        if node is None:
            return Paths(())
        if node in self._roots and self.side == "ground":
            return Paths((Path(terminal, terminal, (), node in self._known, {}),))
        ways, cut_off = self._ways_to(node)
        found = [self._path(way) for way in ways if way.link not in without]
        if self.side == "supply":
            found = told_apart(self.circuit.platform, found)
        found.sort(key=lambda path: (path.roundabout, path.second, not path.known))
        return Paths(tuple(found), cut_off)

    @property
    def known_ends(self) -> tuple[Terminal, ...]:
        """The battery posts that are fitted, or the body and the minuses."""
        return tuple(self.circuit.nodes[n] for n in sorted(self._known))

    def reaches(self, terminal: Terminal) -> bool:
        """Whether any link leads there at all, exclusions aside."""
        node = self.circuit.number.get(terminal)
        return node is not None and (node in self._roots or self._above[node] is not None)

    def _always(self, fitted: Sequence[Answer], starts: Iterable[int]) -> set[int]:
        """What is joined to `starts` by nothing but metal, whatever options are fitted."""
        circuit = self.circuit
        seen = set(starts)
        todo = list(seen)
        while todo:
            here = todo.pop()
            for i in circuit.at[here]:
                if circuit.links[i].kind in METAL and fitted[i] == Answer.YES:
                    a, b = circuit.ends[i]
                    there = b if a == here else a
                    if there not in seen:
                        seen.add(there)
                        todo.append(there)
        return seen

    def _extended(self, way: _Way | None, link: int, node: int, came_from: int) -> _Way | None:
        """`way` and one link more; None when current cannot flow so, or never while the rest conducts."""
        if link <= -2:
            return _Way(None, -1, node, {}, NO_CONTACTS, 0)
        its = self.circuit.links[link]
        if way is not None and way.node in self._body_points and self.circuit.links[way.link].kind != "body":
            return None  # it goes over the battery's lead to a ground point: that point is ground by itself
        if its.one_way:
            a, b = self.circuit.ends[link]
            if (b != node) if self.side == "supply" else (a != node):
                return None
        if way is None:
            a, b = self.circuit.ends[link]
            way = _Way(None, -1, a if b == node else b, {}, NO_CONTACTS, 0)
        demands: Demands | None = way.demands
        contacts = way.contacts
        if its.contact or its.condition:
            demands = together(way.demands, demands_of(its, self._key))
            if demands is None:
                return None
            if its.contact:
                contacts |= {its.contact}
        return _Way(way, link, node, demands or {}, contacts, way.length + 1)

    def _ways_to(self, node: int) -> tuple[tuple[_Way, ...], bool]:
        pending: list[tuple[int, Block]] = []
        here = node
        while here != self._top and here not in self._ways:
            block = self._above[here]
            if block is None:
                return (), False
            pending.append((here, block))
            here = block.entry
        for here, block in reversed(pending):
            starts, cut_off = ((None,), False) if block.entry == self._top else self._ways[block.entry]
            if len(block.links) == 1:
                link = block.links[0][0]
                found = [way for start in starts if (way := self._extended(start, link, here, block.entry))]
            else:
                found, more = self._through(block, starts, here)
                cut_off = cut_off or more
            self._ways[here] = tuple(found), cut_off
        return self._ways[node]

    def _through(self, block: Block, starts: Sequence[_Way | None], target: int) -> tuple[list[_Way], bool]:
        """Ways through one block, those with fewest contacts first, then the shortest."""
        around = self._neighbours_in(block)
        left = self._contacts_left(around, target)
        order = count()
        heap: list[tuple[int, int, int, int, int, _Way | None]] = []
        for start in starts:
            had = (len(start.contacts), start.length) if start else (0, 0)
            to_go = left[block.entry]
            heappush(heap, (had[0] + to_go[0], had[1] + to_go[1], to_go[1], next(order), block.entry, start))
        found: list[_Way] = []
        looked = 0
        while heap:
            *_, here, way = heappop(heap)
            if here == target:
                assert way is not None
                if len(found) == MOST_PATHS:
                    return found, True
                found.append(way)
                continue
            if looked > MOST_STEPS:
                return found, True
            for link, there in around[here]:
                if there == block.entry or (way is not None and way.visits(there)):
                    continue
                longer = self._extended(way, link, there, here)
                if longer is not None:
                    looked += 1
                    to_go = left[there]
                    cost = len(longer.contacts) + to_go[0], longer.length + to_go[1]
                    heappush(heap, (*cost, to_go[1], next(order), there, longer))
        return found, False

    def _neighbours_in(self, block: Block) -> Mapping[int, Sequence[tuple[int, int]]]:
        around = self._around.get(id(block))
        if around is None:
            lists: dict[int, list[tuple[int, int]]] = {}
            for link, a, b in block.links:
                lists.setdefault(a, []).append((link, b))
                lists.setdefault(b, []).append((link, a))
            around = self._around[id(block)] = lists
        return around

    def _contacts_left(
        self, around: Mapping[int, Sequence[tuple[int, int]]], target: int
    ) -> Mapping[int, tuple[int, int]]:
        """For each node of a block the fewest (contacts, links) on to `target`."""
        best: dict[int, tuple[int, int]] = {}
        heap = [((0, 0), target)]
        while heap:
            cost, here = heappop(heap)
            if here in best:
                continue
            best[here] = cost
            for link, there in around[here]:
                if there not in best:
                    gate = 1 if link >= 0 and self.circuit.links[link].contact else 0
                    heappush(heap, ((cost[0] + gate, cost[1] + 1), there))
        return best

    def _path(self, way: _Way) -> Path:
        circuit = self.circuit
        trail: list[_Way] = []
        here: _Way | None = way
        while here is not None:
            trail.append(here)
            here = here.before
        trail.reverse()
        nodes = circuit.nodes
        steps = []
        for before, after in pairwise(trail):
            forward = circuit.ends[after.link][1] == after.node and circuit.ends[after.link][0] == before.node
            steps.append(Step(circuit.links[after.link], forward if self.side == "supply" else not forward))
        first, last = nodes[trail[0].node], nodes[trail[-1].node]
        known = trail[0].node in self._known
        roundabout = self._is_roundabout(trail)
        if self.side == "supply":
            return Path(first, last, tuple(steps), known, way.demands, roundabout)
        return Path(last, first, tuple(reversed(steps)), known, way.demands, roundabout)

    def _is_roundabout(self, trail: Sequence[_Way]) -> bool:
        """Whether the way runs back, through a contact or a fuse from its outgoing side, into a point that is live
        (or grounded) under fewer conditions without it.
        """
        demands = trail[-1].demands
        entered: Block | None = None
        start, at_entry = trail[0].node, NO_CONTACTS
        for before, after in pairwise(trail):
            block = self._above[after.node]
            if block is None or len(block.links) == 1:
                continue
            if block is not entered:
                entered, start, at_entry = block, self._merged(before.node), before.contacts
            link = self.circuit.links[after.link]
            if link.contact:
                # Live with one contact less: current would only run back there.
                for spared in before.contacts - at_entry:
                    if self._within(block, start, after.node, before.contacts - {spared}, demands, after.link):
                        return True
            backwards = link.kind in PROTECTIVE and self.circuit.ends[after.link][0] == after.node
            fed_anyway = (
                backwards
                and self.side == "supply"
                and self._within(block, start, after.node, before.contacts, demands, after.link)
            )
            if fed_anyway:
                return True
        return False

    def _merged(self, node: int) -> int:
        """The node as the blocks have it: on the ground side all grounds are one."""
        return self._top if self.side == "ground" and node in self._roots else node

    def _within(
        self, block: Block, start: int, target: int, contacts: frozenset[str], demands: Demands, without: int
    ) -> bool:
        """Whether current comes from `start` to `target` inside a block with no other contacts closed than these."""
        around = self._neighbours_in(block)
        seen, todo = {start}, [start]
        while todo:
            here = todo.pop()
            if here == target:
                return True
            for link, there in around[here]:
                if there in seen or link < 0 or link == without:
                    continue
                its = self.circuit.links[link]
                if its.contact and its.contact not in contacts:
                    continue
                if its.one_way and self.circuit.ends[link][1 if self.side == "supply" else 0] != there:
                    continue
                if its.condition and together(demands, demands_of(its, self._key)) is not demands:
                    continue  # it depends on an option that this way does not depend on
                seen.add(there)
                todo.append(there)
        return False
