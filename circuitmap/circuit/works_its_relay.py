"""What works the coil of a relay by which a hands-off thing is fed or grounded: without it, the thing loses that.

It holds back its own fuse and nothing before it, as a doubt does. What the key switches does not count: whoever turns
the key does as much.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Protocol, TypeVar

from circuitmap.circuit.dead_ends import Edge
from circuitmap.circuit.link import Link
from circuitmap.circuit.ways_up import Around, Towards, WaysUp
from circuitmap.wiring.hands_off import HandsOffReason
from circuitmap.wiring.parts import Load, Switch, Terminal
from circuitmap.wiring.platform import Platform


def is_sure(reason: HandsOffReason) -> bool:
    """Whether what works a relay counts: where a loss of feed can hurt, and nobody is in doubt of it."""
    return reason.why in ("restraint", "gas", "high-voltage") and reason.known_by != "doubt"


class _Of(Protocol):
    @property
    def reason(self) -> HandsOffReason: ...


Start = TypeVar("Start", bound=_Of)


class CoilsOf:
    """The coils of relays on a circuit, given as for `WaysUp`."""

    def __init__(
        self,
        platform: Platform,
        links: Sequence[Link],
        ends: Sequence[tuple[int, int]],
        nodes: Sequence[Terminal],
        around: Sequence[Around],
        ways: WaysUp,
    ) -> None:
        self._platform, self._links, self._ends, self._nodes = platform, links, ends, nodes
        self._around, self._ways = around, ways
        self._number = {node: n for n, node in enumerate(nodes)}

    def working(self, relays: Mapping[str, Start]) -> Iterator[tuple[Start, set[int]]]:
        """For each relay the nodes of what works it, and of what works the relays on those ways."""
        todo, known = list(relays.items()), set(relays)
        while todo:
            relay, start = todo.pop()
            for i, link in enumerate(self._links):
                if link.kind != "coil" or link.part != relay:
                    continue
                sides = [self._side(node) for node in self._ends[i]]
                if None in sides:
                    continue
                nodes = {*self._ends[i], *(node for side in sides if side is not None for node in side)}
                yield start, nodes
                for other in self._relays_in(nodes) - known:
                    known.add(other)
                    todo.append((other, start))

    def _relays_in(self, nodes: set[int]) -> set[str]:
        return {
            link.part
            for i, link in enumerate(self._links)
            if link.energised is not None and nodes.issuperset(self._ends[i])
        }

    def _side(self, coil: int) -> set[int] | None:
        """What one end of a coil is fed or grounded by; None where it is the key's. Where neither is drawn, all that
        its wires reach."""
        for towards in ("supply", "ground"):
            if coil in self._ways.roots(towards):
                return set()
            if self._ways.step(towards, coil) is not None:
                return self._up(coil, towards)
        island, todo = {coil}, [coil]
        while todo:
            for _, there in self._around[todo.pop()]:
                if there not in island and there not in self._ways.roots("ground"):
                    island.add(there)
                    todo.append(there)
        return island

    def _up(self, coil: int, towards: Towards) -> set[int] | None:
        found, here = {coil}, coil
        while here != self._ways.top:
            up = self._ways.step(towards, here)
            if up is None:
                break
            edges = _leading_up([edge for edge in up.edges if not self._is_the_keys(edge[0])], here, up.entry)
            if not edges:
                return None
            inner = self._outside_modules(edges, here)
            for link, _, _ in inner:
                found.update(self._ends[link])
            if up.over_fuse or not any(there == up.entry for _, _, there in inner):
                break
            here = up.entry
        return found.union(*(self._feeds_of(module) for module in self._grounding(found)))

    def _is_the_keys(self, i: int) -> bool:
        link = self._links[i] if i < len(self._links) else None
        if link is None or not link.contact:
            return False
        part = self._platform.parts.get(link.part)
        return (link.output is not None and link.output.when == "in") or (isinstance(part, Switch) and part.is_key)

    def _outside_modules(self, edges: list[Edge], here: int) -> list[Edge]:
        """The links up to the pins of modules that ground it, without what these are grounded by themselves."""
        at: dict[int, list[Edge]] = {}
        for edge in edges:
            at.setdefault(edge[1], []).append(edge)
        found, seen, todo = [], {here}, [here]
        while todo:
            for edge in at.get(todo.pop(), ()):
                link = self._links[edge[0]] if edge[0] < len(self._links) else None
                if link is not None and link.output is not None and link.output.action == "grounds":
                    continue
                found.append(edge)
                if edge[2] not in seen:
                    seen.add(edge[2])
                    todo.append(edge[2])
        return found

    def _grounding(self, nodes: set[int]) -> set[str]:
        """The modules whose output grounds one of these nodes."""
        return {
            its.module
            for its in self._platform.outputs
            if its.action == "grounds" and its.when != "in" and self._number.get(its.terminal) in nodes
        }

    def _feeds_of(self, module: str) -> set[int]:
        """What a module is fed by, up to its own fuse: without it, it lets go of the coil."""
        part = self._platform.parts.get(module)
        pins = part.pins_with("supply") if isinstance(part, Load) else ()
        found: set[int] = set()
        for pin in pins:
            here = self._number.get(Terminal(module, pin))
            while here is not None and here != self._ways.top and here not in self._ways.roots("supply"):
                up = self._ways.step("supply", here)
                if up is None:
                    break
                found.update(node for link, _, _ in up.edges for node in self._ends[link])
                here = None if up.over_fuse else up.entry
        return found


def _leading_up(edges: Sequence[Edge], here: int, entry: int) -> list[Edge]:
    """Those of some links of a block that are left on ways from a node up to its entry."""
    above, below = _reached(((a, b) for _, a, b in edges), here), _reached(((b, a) for _, a, b in edges), entry)
    return [edge for edge in edges if edge[1] in above and edge[2] in below]


def _reached(pairs: Iterator[tuple[int, int]], start: int) -> set[int]:
    onward: dict[int, list[int]] = {}
    for one, other in pairs:
        onward.setdefault(one, []).append(other)
    seen, todo = {start}, [start]
    while todo:
        for there in onward.get(todo.pop(), ()):
            if there not in seen:
                seen.add(there)
                todo.append(there)
    return seen
