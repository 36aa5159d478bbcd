"""Which of the ways up through a block conduct at all: one that needs two positions of one switch at once, or a relay
pulled in and at rest, is no way, and one that ends in a spur leads nowhere."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from circuitmap.circuit.dead_ends import Edge, without_dead_ends
from circuitmap.circuit.demands import DemandSubject, demands_of
from circuitmap.circuit.link import Link

Onward = Mapping[int, Sequence[tuple[int, int]]]
"""The links on which current comes to each node, each with the node that it comes from."""
Closed = frozenset[str]


class _Asked(NamedTuple):
    """What links ask of one switch or relay: for each link the positions in which it is closed."""

    by_link: dict[int, Closed]

    @property
    def is_disputed(self) -> bool:
        """Whether two of them are never closed together."""
        its = set(self.by_link.values())
        return any(not one & other for one in its for other in its)

    def narrowed(self, link: int, left: Closed | None) -> Closed | None:
        """The positions that are left once a link was passed, of those that were `left`; None: all of them. Empty
        where none is."""
        asks = self.by_link.get(link)
        if asks is None:
            return left
        return asks if left is None else left & asks


def edges_that_conduct(links: Sequence[Link], onward: Onward, entry: int, start: int) -> list[Edge]:
    """The links on ways from a node up to the entry of its block, but for those that lie only on ways which never
    conduct. What two switches rule out only together is not looked for. All of them where no way would be left: then
    something is typed that is not so, and nothing is cleared by that."""
    edges = without_dead_ends(list(_reached(onward, entry, start)), entry, start)
    asked: dict[DemandSubject, _Asked] = {}
    for number, _, _ in edges:
        link = links[number] if number < len(links) else None
        for subject, states in demands_of(link, "") if link is not None and link.contact else ():
            if subject.kind in ("switch", "relay") and states:
                asked.setdefault(subject, _Asked({})).by_link[number] = states
    left = edges
    for its in asked.values():
        if its.is_disputed:
            kept = set(_consistent(edges, its, entry, start))
            left = [edge for edge in left if edge in kept]
    return left if any(here == start for _, here, _ in left) else edges


def _reached(onward: Onward, entry: int, start: int) -> Iterator[Edge]:
    seen, todo = {start}, [start]
    while todo:
        here = todo.pop()
        for link, there in onward.get(here, ()) if here != entry else ():
            yield link, here, there
            if there not in seen:
                seen.add(there)
                todo.append(there)


def _consistent(edges: Iterable[Edge], asked: _Asked, entry: int, start: int) -> Iterator[Edge]:
    """The links on some way from start to entry on which one position closes all contacts of one switch."""
    up: dict[int, list[tuple[int, int]]] = {}
    down: dict[int, list[tuple[int, int]]] = {}
    edges = list(edges)
    for link, here, there in edges:
        up.setdefault(here, []).append((link, there))
        down.setdefault(there, []).append((link, here))
    below, above = _positions(up, asked, start), _positions(down, asked, entry)
    for link, here, there in edges:
        for one in below.get(here, ()):
            through = asked.narrowed(link, one)
            if through is not None and not through:
                continue
            if any(through is None or other is None or through & other for other in above.get(there, ())):
                yield link, here, there
                break


def _positions(
    around: Mapping[int, Sequence[tuple[int, int]]], asked: _Asked, start: int
) -> dict[int, set[Closed | None]]:
    """For each node that can be come to from `start`, in which positions of the switch; None: in any."""
    found: dict[int, set[Closed | None]] = {start: {None}}
    todo: list[tuple[int, Closed | None]] = [(start, None)]
    while todo:
        here, left = todo.pop()
        for link, there in around.get(here, ()):
            then = asked.narrowed(link, left)
            if then is not None and not then:
                continue
            known = found.setdefault(there, set())
            if then not in known and None not in known:
                known.add(then)
                todo.append((there, then))
    return found
