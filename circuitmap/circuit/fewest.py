"""Inside one block, the ways that pass the fewest contacts, and then the fewest links."""

from collections.abc import Mapping, Sequence
from heapq import heappop, heappush
from typing import Literal

from circuitmap.circuit.links import Circuit

Around = Mapping[int, Sequence[tuple[int, int]]]
"""For each node of a block, its links, each with the node at its other end; negative links lead to the roots."""


def contacts_left(circuit: Circuit, around: Around, target: int) -> Mapping[int, tuple[int, int]]:
    """For each node, the fewest (contacts, links) from there to `target`."""
    best: dict[int, tuple[int, int]] = {}
    heap = [((0, 0), target)]
    while heap:
        cost, here = heappop(heap)
        if here in best:
            continue
        best[here] = cost
        for link, there in around[here]:
            if there not in best:
                gate = 1 if link >= 0 and circuit.links[link].contact else 0
                heappush(heap, ((cost[0] + gate, cost[1] + 1), there))
    return best


def tree_from(
    circuit: Circuit, side: Literal["supply", "ground"], around: Around, entry: int
) -> Mapping[int, tuple[int, int]]:
    """For each node, the last link of the way to it from `entry`, and the node before it."""
    found: dict[int, tuple[int, int]] = {}
    done: set[int] = set()
    heap = [(0, 0, entry, -1, -1)]
    while heap:
        contacts, length, here, link, before = heappop(heap)
        if here in done:
            continue
        done.add(here)
        if before >= 0:
            found[here] = link, before
        for by, there in around[here]:
            if there in done:
                continue
            its = circuit.links[by] if by >= 0 else None
            if its is not None and its.one_way:
                a, b = circuit.ends[by]
                if (b != there) if side == "supply" else (a != there):
                    continue
            gate = 1 if its is not None and its.contact else 0
            heappush(heap, (contacts + gate, length + 1, there, by, here))
    return found
