"""How current may come to a node, or leave it to ground, block by block up to the supplies or grounds."""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from circuitmap.circuit.blocks import Block, Blocks, blocks_from, reached_from
from circuitmap.circuit.comes_by_converter import ByConverter
from circuitmap.circuit.dead_ends import Edge
from circuitmap.circuit.link import Link
from circuitmap.circuit.one_position import edges_that_conduct
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.wiring.platform import Platform

Around = list[tuple[int, int]]
"""Links at a node, each with the node at its other end."""
Towards = Literal["supply", "ground"]


class StepUp(NamedTuple):
    """The links on some way through one block up to its `entry`, and whether a fuse may lie among them."""

    entry: int
    edges: list[Edge]
    over_fuse: bool


class _Up(NamedTuple):
    """The links by which current comes to each node of a block, each with the node that it comes from; the nodes that
    it comes to from the block's entry; those that it may come to over a fuse."""

    onward: dict[int, Around]
    to_entry: set[int]
    to_fuse: set[int]


class WaysUp:
    """`ends` are those of the links, then of fuses that may be put into empty slots; `around` are the links that count
    at each node. All supplies, or all grounds, are one node there, `top`."""

    def __init__(
        self,
        platform: Platform,
        links: Sequence[Link],
        ends: Sequence[tuple[int, int]],
        around: Sequence[Around],
        supplies: set[int],
        grounds: set[int],
    ) -> None:
        self._links, self._ends, self._around = links, ends, around
        self._supplies, self._grounds = supplies, grounds
        self.top = len(around)
        self._always = self._always_live()
        self._by_converter = ByConverter(platform, links, around, self._always)
        self._blocks = {
            "supply": self._rooted(supplies, without=grounds),
            "ground": self._rooted(grounds, without=supplies),
        }
        self._ups: dict[tuple[int, bool], _Up] = {}

    def roots(self, towards: Towards) -> set[int]:
        return self._supplies if towards == "supply" else self._grounds

    def step(self, towards: Towards, here: int) -> StepUp | None:
        """What lies on some way from a node through the block above it; None where there is no such way."""
        block = self._blocks[towards].above[here]
        if block is None:
            return None
        up = self._up(block, towards == "supply")
        if here not in up.to_entry:
            return None
        edges = edges_that_conduct(self._links, up.onward, block.entry, here)
        return StepUp(block.entry, edges, here in up.to_fuse)

    def _always_live(self) -> set[int]:
        """Nodes that are live through wires and fuses (from their feed side) alone, whatever is switched or fitted. A
        contact that leads into one of them (such as the one between two batteries), or a fuse passed from its outgoing
        side, feeds nothing there that would be dead without it."""
        live, todo = set(self._supplies), list(self._supplies)
        while todo:
            here = todo.pop()
            for i, there in self._around[here]:
                link = self._links[i] if i < len(self._links) else None
                if link is None or link.is_gate or link.condition or there in live or there in self._grounds:
                    continue
                if (link.one_way or link.kind in PROTECTIVE) and self._ends[i][1] == here:
                    continue
                live.add(there)
                todo.append(there)
        return live

    def _rooted(self, roots: set[int], without: set[int]) -> Blocks:
        """Blocks of the graph that hangs on `roots`. All roots are one node there: a way ends at the first one it
        meets. Nodes `without` are left out."""
        neighbours: list[Around] = [[] for _ in range(self.top + 1)]
        for here, around in enumerate(self._around):
            if here in without and here not in roots:
                continue
            at = self.top if here in roots else here
            for i, there in around:
                end = self.top if there in roots else there
                if end != at and (there in roots or there not in without):
                    neighbours[at].append((i, end))
        return blocks_from(self.top, neighbours)

    def is_fuse(self, i: int) -> bool:
        """Whether a link is a fuse, or a slot that one may be put into."""
        return i >= len(self._links) or self._links[i].kind in PROTECTIVE

    def _up(self, block: Block, supplying: bool) -> _Up:
        """What leads up through a block. Diodes and outputs pass it one way only. Nothing feeds what is live without it
        by a contact, nor by a fuse passed from its outgoing side, or one that only a charger or converter feeds."""
        key = id(block), supplying
        if key not in self._ups:
            onward: dict[int, Around] = {}
            below: dict[int, list[int]] = {}
            at_fuses: set[int] = set()
            for link, a, b in block.links:
                for here, there in ((a, b), (b, a)):
                    if here != block.entry and self._comes(link, here, supplying):
                        onward.setdefault(here, []).append((link, there))
                        below.setdefault(there, []).append(here)
                        if self.is_fuse(link):
                            at_fuses.add(here)
            self._ups[key] = _Up(onward, reached_from(below, {block.entry}), reached_from(below, at_fuses))
        return self._ups[key]

    def _comes(self, i: int, to: int, supplying: bool) -> bool:
        """Whether current can reach a node over a link, or leave it over that link to ground."""
        link = self._links[i] if i < len(self._links) else None
        if link is None:
            return True
        if link.one_way and self._ends[i][0 if supplying else 1] == to:
            return False
        goes_back = link.kind in PROTECTIVE and self._ends[i][0] == to
        made = link.kind in PROTECTIVE and self._by_converter.feeds(sum(self._ends[i]) - to)
        return not (supplying and to in self._always and (link.is_gate or goes_back or made))
