"""Every way from the batteries to a point, or from a point to ground.

Every contact and output may be closed, but not two at once that exclude each other; nothing is supplied through a
load or a coil. The search is bounded, and says so when it was cut off.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from heapq import heappop, heappush
from itertools import count, pairwise
from typing import Literal, NamedTuple

from circuitmap.circuit.blocks import Block, blocks_from
from circuitmap.circuit.demands import Demands, DemandSubject, demands_of, key_of, together
from circuitmap.circuit.fewest import Around, contacts_left, tree_from
from circuitmap.circuit.link import BODY, NEVER_CROSSED
from circuitmap.circuit.links import METAL, Circuit
from circuitmap.circuit.parked import told_apart
from circuitmap.circuit.path import Path, Paths, Step
from circuitmap.circuit.roundabout import Roundabouts
from circuitmap.effort import Effort
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Terminal

MOST_PATHS = 64
"""How many ways to one terminal are listed (judgement: nobody reads more)."""
MOST_STEPS = 20_000
"""How many partial ways are made inside one block for one point (judgement: about a tenth of a second)."""
MOST_WORK = 200_000
"""How many partial ways are made, and links looked at, for all points of one circuit on one side (judgement: one
second; the samples need an eighth of it). Beyond that only one way to each point is looked for."""
_DEMANDS_A_STEP = 8
"""Demands that a way keeps for which it counts as one link more: thousands of ways with a thousand options each took
two gigabytes."""
MOST_LISTED = 200_000
"""How many steps of ways are listed for all points of one circuit on one side. Beyond half of it only one way to each
point is listed, and beyond all of it none."""

NOTHING: frozenset[str] = frozenset()
Needs = tuple[tuple[DemandSubject, frozenset[str]], ...]


class _Way(NamedTuple):
    """A way from a root to `node`, as the last link and the way before it; `link` is -1 at the root.

    `demands` are those that another link could contradict or narrow; `repeated` are the contacts passed that are in
    more than one place; `contacts` counts all contacts.
    """

    before: "_Way | None"
    link: int
    node: int
    demands: Demands
    repeated: frozenset[str]
    contacts: int
    length: int

    def visits(self, node: int, entry: int) -> bool:
        """Whether it has touched a node since it entered the block that it is in."""
        here: _Way | None = self
        while here is not None:
            if here.node == node:
                return True
            if here.node == entry:
                return False
            here = here.before
        return False


class Ways:
    """All ways of one circuit with one fitting, on the supply side or on the ground side.

    On the supply side they start at the batteries and at places that may be live for reasons nobody transcribed; on the
    ground side they end at the body, unless a contact lies before it, at battery minuses, or at places that may be
    grounded for such reasons. No supply way runs over what is always grounded, and no ground way over what is always
    live.
    """

    def __init__(
        self,
        circuit: Circuit,
        fitting: Fitting,
        side: Literal["supply", "ground"],
        back_to: Sequence[Terminal] = (),
    ) -> None:
        """`back_to`: the ground pins of a part that makes a voltage itself, where ways to ground end instead."""
        self.circuit = circuit
        self.side = side
        self.effort, self.listing = Effort(MOST_WORK), Effort(MOST_LISTED)
        self._key = key_of(circuit.platform)
        known, unknown, far, far_unless = (
            (circuit.supplies, circuit.unknown_supplies, circuit.on_ground, circuit.supplies)
            if side == "supply"
            else (circuit.returns, circuit.unknown_grounds, circuit.supplies, circuit.on_ground)
        )
        if back_to:
            known, unknown = tuple(back_to), frozenset[Terminal]()
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
            if side == "ground" and not back_to and BODY in circuit.returns
            if circuit.links[i].kind == "body" and circuit.nodes[circuit.ends[i][0]].pin == ""
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
        self._needs, self._disputed = self._all_needs()
        contacts = [circuit.links[i].contact for i in self.usable if circuit.links[i].contact]
        self._repeated = frozenset(name for name, times in Counter(contacts).items() if times > 1)
        self._ways: dict[int, tuple[tuple[_Way, ...], bool]] = {}
        self._around: dict[int, Around] = {}
        self._trees: dict[int, Mapping[int, tuple[int, int]]] = {}
        self._along: dict[tuple[int, int], dict[int, _Way | None]] = {}
        self._steps: dict[tuple[int, bool], Step] = {}
        self._roundabouts = Roundabouts(self)
        self._told: dict[Terminal, Paths] = {}

    def _all_needs(self) -> tuple[Mapping[int, Needs], Mapping[int, Needs]]:
        """What each link asks for, and the part of it that another link asks for differently: the rest never
        contradicts."""
        needs = {
            i: demands_of(self.circuit.links[i], self._key)
            for i in self.usable
            if self.circuit.links[i].contact or self.circuit.links[i].condition
        }
        asked: dict[DemandSubject, frozenset[str]] = {}
        disputed: set[DemandSubject] = set()
        for its in needs.values():
            for subject, states in its:
                if asked.setdefault(subject, states) != states or not states:  # a contact that no position closes
                    disputed.add(subject)
        return needs, {i: tuple(need for need in its if need[0] in disputed) for i, its in needs.items()}

    def to(self, terminal: Terminal, without: frozenset[int] = frozenset()) -> Paths:
        """Ways from the batteries to `terminal`, or from it to ground; not those that end with a link in `without`."""
        if without:
            return self._find(terminal, without)
        if terminal not in self._told:
            self._told[terminal] = self._find(terminal, without)
        return self._told[terminal]

    def _find(self, terminal: Terminal, without: frozenset[int]) -> Paths:
        node = self.circuit.number.get(terminal)
        if node is None:
            return Paths(())
        if node in self._roots and self.side == "ground":
            return Paths((Path(terminal, terminal, (), node in self._known, {}),))
        ways, cut_off = self._ways_to(node)
        found: list[Path] = []
        for way in ways:
            if way.link in without:
                continue
            if self.listing.used_up or (found and self.listing.left < MOST_LISTED // 2):
                cut_off = True
                break
            self.listing.spend(way.length + 1)
            found.append(self._path(way))
        if self.side == "supply":
            found = told_apart(self.circuit.platform, found)
        found.sort(key=lambda path: (path.roundabout, path.second, not path.known))
        return Paths(tuple(found), cut_off or (bool(found) and self._roundabouts.gave_up))

    @property
    def known_ends(self) -> tuple[Terminal, ...]:
        """The battery posts that are fitted, or the body and the minuses."""
        return tuple(self.circuit.nodes[n] for n in sorted(self._known))

    def block_above(self, node: int) -> Block | None:
        """The block between a node and the roots."""
        return self._above[node]

    def merged(self, node: int) -> int:
        """The node as the blocks have it: on the ground side all grounds are one."""
        return self._top if self.side == "ground" and node in self._roots else node

    def needs_of(self, link: int) -> Needs:
        """What a link asks for."""
        return self._needs.get(link, ())

    def _always(self, fitted: Sequence[Answer], starts: Iterable[int]) -> set[int]:
        """What nothing but metal joins to `starts`, whatever options are fitted."""
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

    def _extended(self, way: _Way | None, link: int, node: int) -> _Way | None:
        """`way` and one more link; None when current cannot flow that way, or never while the rest conducts."""
        if link <= -2:
            return _Way(None, -1, node, {}, NOTHING, 0, 0)
        its = self.circuit.links[link]
        if way is not None and way.node in self._body_points and self.circuit.links[way.link].kind != "body":
            return None  # it runs over the battery's lead to a ground point: that point is itself ground
        if its.one_way:
            a, b = self.circuit.ends[link]
            if (b != node) if self.side == "supply" else (a != node):
                return None
        if way is None:
            a, b = self.circuit.ends[link]
            way = _Way(None, -1, a if b == node else b, {}, NOTHING, 0, 0)
        demands, repeated, contacts = way.demands, way.repeated, way.contacts
        disputed = self._disputed.get(link)
        if disputed:
            both = together(demands, disputed)
            if both is None:
                return None
            if both is not demands:
                self.effort.spend(len(both) // _DEMANDS_A_STEP)  # each way keeps its own
            demands = both
        if its.contact and its.contact not in repeated:
            contacts += 1
            if its.contact in self._repeated:
                repeated |= {its.contact}
        return _Way(way, link, node, demands, repeated, contacts, way.length + 1)

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
            starts: Sequence[_Way | None]
            starts, cut_off = ((None,), False) if block.entry == self._top else self._ways[block.entry]
            if self.effort.used_up and len(starts) > 1:
                starts, cut_off = starts[:1], True
            if len(block.links) == 1:
                link = block.links[0][0]
                found = [way for start in starts if (way := self._extended(start, link, here))]
                self.effort.spend(len(found) - 1)
            elif self.effort.used_up:
                found, cut_off = self._one_way(block, starts, here), True
            else:
                found, more = self._through(block, starts, here)
                cut_off = cut_off or more
            self._ways[here] = tuple(found), cut_off
        return self._ways[node]

    def _through(self, block: Block, starts: Sequence[_Way | None], target: int) -> tuple[list[_Way], bool]:
        """Ways through one block, those with the fewest contacts first, then the shortest."""
        around = self.neighbours_in(block)
        left = contacts_left(self.circuit, around, target)
        self.effort.spend(len(block.links) // 2)
        order = count()
        heap: list[tuple[int, int, int, int, int, _Way | None]] = []
        for start in starts:
            had = (start.contacts, start.length) if start else (0, 0)
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
            if looked > MOST_STEPS or self.effort.used_up:
                return found or self._one_way(block, starts, target), True
            for link, there in around[here]:
                if there == block.entry or (way is not None and way.visits(there, block.entry)):
                    continue
                longer = self._extended(way, link, there)
                if longer is not None:
                    looked += 1
                    self.effort.spend(1)
                    to_go = left[there]
                    cost = longer.contacts + to_go[0], longer.length + to_go[1]
                    heappush(heap, (*cost, to_go[1], next(order), there, longer))
        return found, False

    def _one_way(self, block: Block, starts: Sequence[_Way | None], target: int) -> list[_Way]:
        """The way through a block with the fewest contacts, if all of it can conduct at once; nothing if not."""
        for start in starts:
            way = self._along_tree(block, start, target)
            if way is not None:
                return [way]
        return []

    def _along_tree(self, block: Block, start: _Way | None, target: int) -> _Way | None:
        """`start` and the links of the block's tree to `target`; what was made on the way to other targets is kept, so
        that all targets of a block together cost no more than its links."""
        tree = self._trees.get(id(block))
        if tree is None:
            tree = self._trees[id(block)] = tree_from(self.circuit, self.side, self.neighbours_in(block), block.entry)
        made = self._along.setdefault((id(block), id(start)), {block.entry: start})
        ahead: list[int] = []
        here = target
        while here not in made:
            if here not in tree:
                return None
            ahead.append(here)
            here = tree[here][1]
        way, blocked = made[here], here != block.entry and made[here] is None
        for there in reversed(ahead):
            way = None if blocked else self._extended(way, tree[there][0], there)
            blocked = way is None
            made[there] = way
        return way

    def neighbours_in(self, block: Block) -> Around:
        """The links at each node of a block, each with the node at its other end."""
        around = self._around.get(id(block))
        if around is None:
            lists: dict[int, list[tuple[int, int]]] = {}
            for link, a, b in block.links:
                lists.setdefault(a, []).append((link, b))
                lists.setdefault(b, []).append((link, a))
            around = self._around[id(block)] = lists
        return around

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
        demands: dict[DemandSubject, frozenset[str]] = {}
        for before, after in pairwise(trail):
            forward = circuit.ends[after.link][1] == after.node and circuit.ends[after.link][0] == before.node
            key = after.link, forward if self.side == "supply" else not forward
            step = self._steps.get(key)
            if step is None:
                step = self._steps[key] = Step(circuit.links[key[0]], key[1])
            steps.append(step)
            for subject, states in self._needs.get(after.link, ()):
                known = demands.get(subject)
                demands[subject] = states if known is None else known & states
        first, last = nodes[trail[0].node], nodes[trail[-1].node]
        known_end = trail[0].node in self._known
        hops = [(trail[0].node, -1), *((after.node, after.link) for after in trail[1:])]
        roundabout = self._roundabouts.is_one(hops, demands)
        if self.side == "supply":
            return Path(first, last, tuple(steps), known_end, demands, roundabout)
        return Path(last, first, tuple(reversed(steps)), known_end, demands, roundabout)
