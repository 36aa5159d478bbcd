"""Links as they are numbered: each terminal that one ends at is a node, and links may still be added."""

from collections.abc import Iterable
from typing import Literal, assert_never

from circuitmap.circuit.link import NEVER_CROSSED, Link, LinkKind
from circuitmap.wiring.parts import Terminal

METAL: frozenset[LinkKind] = frozenset(
    ("wire", "copper", "chart", "cavity", "joint", "body", "fuse", "link", "breaker")
)
"""What always conducts as long as nothing is pulled, unplugged or blown."""


Through = Literal["metal", "resistors", "contacts"]


class NumberedLinks:
    """`number` gives the node of each terminal; `ends[i]` are the nodes of `links[i].a` and `.b`, `at[n]` the numbers
    of the links at node `n`."""

    def __init__(self, links: Iterable[Link]) -> None:
        self.links: list[Link] = []
        self.number: dict[Terminal, int] = {}
        self.ends: list[tuple[int, int]] = []
        self.at: list[list[int]] = []
        self._pieces: dict[tuple[int, Through], set[int]] = {}
        for link in links:
            self.add(link)

    def node(self, terminal: Terminal) -> int:
        """The node of a terminal; a new one where no link ends yet."""
        if terminal not in self.number:
            self.number[terminal] = len(self.at)
            self.at.append([])
        return self.number[terminal]

    def add(self, link: Link) -> None:
        number, a, b = len(self.links), self.node(link.a), self.node(link.b)
        self.links.append(link)
        self.ends.append((a, b))
        self.at[a].append(number)
        if b != a:
            self.at[b].append(number)
        self._pieces.clear()

    def joined_to(self, start: int, through: Through = "metal") -> set[int]:
        """Nodes joined to `start` by metal, also by resistors, or by whatever is no load: the same set for all of
        them."""
        if (start, through) in self._pieces:
            return self._pieces[start, through]
        seen, todo = {start}, [start]
        while todo:
            here = todo.pop()
            for i in self.at[here]:
                if _joins(self.links[i], through):
                    beyond = set(self.ends[i]) - seen
                    seen |= beyond
                    todo += beyond
        self._pieces.update(dict.fromkeys(((here, through) for here in seen), seen))
        return seen

    def fed_from(self, starts: Iterable[int], without: set[int]) -> set[int]:
        """Nodes that current from these may reach, whatever contacts do, and not through a load; none of `without`."""
        fed = {*starts} - without
        todo = list(fed)
        while todo:
            here = todo.pop()
            for i in self.at[here]:
                link, (a, b) = self.links[i], self.ends[i]
                there = b if a == here else a
                if there in fed or there in without or link.kind in NEVER_CROSSED or (link.one_way and here == b):
                    continue
                fed.add(there)
                todo.append(there)
        return fed


def _joins(link: Link, through: Through) -> bool:
    match through:
        case "metal":
            return link.kind in METAL
        case "resistors":
            return link.kind in METAL or link.kind == "resistor"
        case "contacts":
            return link.kind not in NEVER_CROSSED
        case _:
            assert_never(through)
