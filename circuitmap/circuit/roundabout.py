"""Ways that run back, through a contact or a fuse from its outgoing side, into a point that is live (or grounded) under
fewer conditions without them.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Literal, Protocol

from circuitmap.circuit.blocks import Block
from circuitmap.circuit.demands import Demands, DemandSubject
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.effort import Effort

MOST_WORK = 500_000
"""How many links are looked at for all ways of one circuit on one side (judgement: half a second; the samples need a
tenth of it)."""

Hop = tuple[int, int]
"""A node of a way, and the link that led to it, -1 at its root."""


class RoundaboutWays(Protocol):
    """What the tested ways are asked."""

    @property
    def circuit(self) -> Circuit: ...

    @property
    def side(self) -> Literal["supply", "ground"]: ...

    def block_above(self, node: int) -> Block | None: ...

    def merged(self, node: int) -> int: ...

    def needs_of(self, link: int) -> tuple[tuple[DemandSubject, frozenset[str]], ...]: ...

    def neighbours_in(self, block: Block) -> Mapping[int, Sequence[tuple[int, int]]]: ...


class Roundabouts:
    """The test for one set of ways; `gave_up` once it took too many steps: from then on ways are taken for direct
    ones."""

    def __init__(self, ways: RoundaboutWays) -> None:
        self._ways = ways
        self._effort = Effort(MOST_WORK)

    @property
    def gave_up(self) -> bool:
        return self._effort.used_up

    def is_one(self, way: Sequence[Hop], demands: Demands) -> bool:
        ways, circuit = self._ways, self._ways.circuit
        entered: Block | None = None
        start = way[0][0]
        passed: set[str] = set()
        at_entry: frozenset[str] = frozenset()
        for (before, _), (node, number) in pairwise(way):
            block = ways.block_above(node)
            link = circuit.links[number]
            if block is not None and len(block.links) > 1 and not self.gave_up:
                if block is not entered:
                    entered, start, at_entry = block, ways.merged(before), frozenset(passed)
                backwards = link.kind in PROTECTIVE and circuit.ends[number][0] == node and ways.side == "supply"
                # Live with one contact fewer: current would only run back there.
                spared = passed - at_entry if link.contact else ()
                if (
                    (backwards or spared)
                    and self._within(block, start, node, passed, "", demands, number)
                    and (backwards or self._any_spared(spared, block, start, node, passed, demands, number))
                ):
                    return True
            if link.contact:
                passed.add(link.contact)
        return False

    def _any_spared(
        self,
        spared: Iterable[str],
        block: Block,
        start: int,
        node: int,
        passed: set[str],
        demands: Demands,
        number: int,
    ) -> bool:
        return any(self._within(block, start, node, passed, contact, demands, number) for contact in sorted(spared))

    def _within(
        self, block: Block, start: int, target: int, contacts: set[str], but: str, demands: Demands, without: int
    ) -> bool:
        """Whether current gets from `start` to `target` inside a block with only these contacts closed, `but`
        excepted."""
        ways, circuit = self._ways, self._ways.circuit
        around: Mapping[int, Sequence[tuple[int, int]]] = ways.neighbours_in(block)
        seen, todo = {start}, [start]
        while todo:
            here = todo.pop()
            if here == target:
                return True
            self._effort.spend(len(around[here]))
            for link, there in around[here]:
                if there in seen or link < 0 or link == without:
                    continue
                its = circuit.links[link]
                if its.contact and (its.contact == but or its.contact not in contacts):
                    continue
                if its.one_way and circuit.ends[link][1 if ways.side == "supply" else 0] != there:
                    continue
                if its.condition and not _implied(demands, ways.needs_of(link)):
                    continue  # it depends on an option that this way does not depend on
                seen.add(there)
                todo.append(there)
        return False


def _implied(demands: Demands, needs: Iterable[tuple[object, frozenset[str]]]) -> bool:
    """Whether meeting the demands also meets these needs."""
    for subject, states in needs:
        known = demands.get(subject)  # type: ignore[call-overload]
        if known is None or not known <= states:
            return False
    return True
