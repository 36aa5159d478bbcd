"""What nothing but wire, splices and plugs joins: one piece of metal, and the one walk along it.

Those who walk it differ in what counts as metal (`kinds`), in what they take for fitted where nobody said what the car
has (`surely`), and in what is apart (`opened`); in nothing else.
"""

from collections import deque
from typing import NamedTuple

from circuitmap.circuit.link import Link, LinkKind
from circuitmap.circuit.links import Circuit
from circuitmap.wiring.fitting import Answer, Fitting, holds

DRAWN_METAL: frozenset[LinkKind] = frozenset(("wire", "copper", "joint", "cavity"))
"""What a sheet shows as joined."""

CHARTED_METAL: frozenset[LinkKind] = DRAWN_METAL | {"chart"}
"""Also what a fuse chart says to be joined, of which no wire is typed in."""


class Metal(NamedTuple):
    """One piece of metal: its `nodes`, the nearest first, and all fitted `links` at them, also those that lead out of
    it, by their numbers, in the order in which they are met."""

    nodes: tuple[int, ...]
    links: tuple[int, ...]


def is_one_metal(link: Link, kinds: frozenset[LinkKind] = CHARTED_METAL) -> bool:
    """Whether both ends of this link are one piece of metal. That the pin which a chart's row may mean is one with what
    feeds that row is not known."""
    return link.kind in kinds and link.assumed != "terminal"


def metal_from(
    circuit: Circuit,
    start: int,
    fitting: Fitting,
    *,
    kinds: frozenset[LinkKind] = DRAWN_METAL,
    surely: bool = False,
    opened: frozenset[int] = frozenset(),
) -> Metal:
    """All that is one piece of metal with this node. `surely`: only what the car is known to have, not what it may
    have. `opened` are numbers of links that no longer conduct (`Circuit.opened_by`)."""
    least = Answer.YES if surely else Answer.MAY_BE
    nodes: dict[int, None] = {start: None}
    links: dict[int, None] = {}
    todo = deque((start,))
    while todo:
        here = todo.popleft()
        for i in circuit.at[here]:
            link = circuit.links[i]
            if i in links or holds(link.condition, fitting) < least:
                continue
            links[i] = None
            if i in opened or not is_one_metal(link, kinds):
                continue
            a, b = circuit.ends[i]
            there = b if a == here else a
            if there not in nodes:
                nodes[there] = None
                todo.append(there)
    return Metal(tuple(nodes), tuple(links))
