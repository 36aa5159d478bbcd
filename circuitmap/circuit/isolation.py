"""Where a supply can be cut so that all of some points go dead: dominators from the batteries.

Every contact counts as closed and nothing is supplied through a load. Contacts and fuses are points of their own.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal, NamedTuple

import networkx as nx

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.one_metal import metal_from
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.wiring.parts import Terminal


class SupplyPoint(NamedTuple):
    """A point on the way from the batteries: a terminal, a `contact` (or output) by its name, or a `fuse`.

    The first point of every chain is the virtual one over all batteries, of kind `source`.
    """

    kind: Literal["source", "terminal", "contact", "fuse"]
    name: str
    part: str


SOURCE = SupplyPoint("source", "", "")


class CommonSupply(NamedTuple):
    """What all of some points depend on: cutting any point of `chain` kills all of them.

    `chain` runs from the batteries to the nearest such point. It is empty when they do not share a feed. `unfed` are
    the points that no battery reaches, as far as was transcribed; they are left out.
    """

    chain: tuple[SupplyPoint, ...]
    unfed: tuple[str, ...] = ()

    @property
    def nearest(self) -> SupplyPoint | None:
        return self.chain[-1] if self.chain else None

    @property
    def contacts(self) -> tuple[str, ...]:
        """Contacts and outputs that feed all of them."""
        return tuple(point.name for point in self.chain if point.kind == "contact")

    @property
    def fuses(self) -> tuple[str, ...]:
        return tuple(point.name for point in self.chain if point.kind == "fuse")


def supply_graph(feeding: Feeding) -> "nx.DiGraph[SupplyPoint]":
    """Which point may be fed from which. Fuses conduct away from the side that a battery is on."""
    circuit = feeding.circuit
    points = [SupplyPoint("terminal", _written(terminal), terminal.part) for terminal in circuit.nodes]
    graph: nx.DiGraph[SupplyPoint] = nx.DiGraph()
    graph.add_node(SOURCE)
    fed_ends = {fuse.name: {path.end for path in feeding.feeds_of(fuse.name)} for fuse in circuit.platform.fuses}
    for posts in side_by_side(feeding):
        source = SOURCE
        if len(posts) > 1:  # batteries side by side are one place that feeds
            source = SupplyPoint("terminal", " and ".join(map(str, posts)), posts[0].part)
            graph.add_edge(SOURCE, source)
        for end in posts:
            graph.add_edge(source, points[circuit.number[end]])
    for i in feeding.supply.usable:
        link = circuit.links[i]
        a, b = (points[n] for n in circuit.ends[i])
        forward, backward = True, not link.one_way
        if link.kind in PROTECTIVE:
            middle = SupplyPoint("fuse", link.part, link.part)
            fed = fed_ends.get(link.part, set())
            forward, backward = link.a in fed or link.b not in fed, link.b in fed
        elif link.contact:
            middle = SupplyPoint("contact", link.contact, link.part)
        else:
            if forward:
                graph.add_edge(a, b)
            if backward:
                graph.add_edge(b, a)
            continue
        if forward:
            graph.add_edge(a, middle)
            graph.add_edge(middle, b)
        if backward:
            graph.add_edge(b, middle)
            graph.add_edge(middle, a)
    return graph


def side_by_side(feeding: Feeding) -> Iterator[tuple[Terminal, ...]]:
    """The posts of the batteries, grouped where nothing but wire joins them."""
    circuit = feeding.circuit
    no_way = frozenset(range(len(circuit.links))) - set(feeding.supply.usable)
    left = dict.fromkeys(feeding.supply.known_ends)
    while left:
        start = circuit.number[next(iter(left))]
        joined = frozenset(metal_from(circuit, start, feeding.fitting, opened=no_way).nodes)
        posts = tuple(post for post in left if circuit.number[post] in joined)
        for post in posts:
            del left[post]
        yield posts


def dominators_of(graph: "nx.DiGraph[SupplyPoint]") -> Mapping[SupplyPoint, SupplyPoint]:
    """For each point that a battery reaches, the nearest point that all ways to it pass; the source has none."""
    found = nx.immediate_dominators(graph, SOURCE)
    return {point: above for point, above in found.items() if above is not None and point != SOURCE}


def common_supply(feeding: Feeding, fuses: Iterable[str]) -> CommonSupply:
    """The feed that all of these fuses share. A fuse counts as a point of its own: it is not its own feed."""
    above = dominators_of(supply_graph(feeding))
    chains: list[list[SupplyPoint]] = []
    unfed = []
    for fuse in fuses:
        here = above.get(SupplyPoint("fuse", fuse, fuse))
        if here is None:
            unfed.append(fuse)
            continue
        chain = []
        while here is not None and here != SOURCE:
            chain.append(here)
            here = above.get(here)
        chains.append(chain[::-1])
    shared: list[SupplyPoint] = []
    for points in zip(*chains, strict=False):
        if any(point != points[0] for point in points):
            break
        shared.append(points[0])
    return CommonSupply(tuple(shared), tuple(unfed))


def _written(terminal: Terminal) -> str:
    """The two halves of a cavity are points of their own."""
    return f"{terminal}{'/' + terminal.half if terminal.half else ''}"
