"""The blocks of a graph: the pieces in which there is more than one way round.

A vehicle's wiring is nearly a tree. From the batteries to a point, every way passes the same cut points; only
between two of them, inside a block, is there a choice. Knowing the blocks keeps every search where the choice is.
Tarjan's depth-first search (1972), without recursion; linear in the links.
"""

from collections.abc import Sequence
from typing import NamedTuple

Neighbours = Sequence[Sequence[tuple[int, int]]]
"""For each node the (link, node at its other end); links are numbers of any kind, each seen from both ends."""


class Block(NamedTuple):
    """A largest piece of the graph that no single node cuts in two. `entry` is its node nearest the root."""

    entry: int
    links: tuple[tuple[int, int, int], ...]
    """(link, node, node); a block of one link is a bridge."""


class Blocks(NamedTuple):
    """`above[n]` is the block between node `n` and the root; None for the root and for whatever is not joined to it."""

    blocks: tuple[Block, ...]
    above: Sequence[Block | None]


def blocks_from(root: int, neighbours: Neighbours) -> Blocks:
    """All blocks that are joined to `root`. The root is the node with the highest number."""
    seen_at = [0] * len(neighbours)
    lowest = [0] * len(neighbours)
    above: list[Block | None] = [None] * len(neighbours)
    blocks: list[Block] = []
    trail: list[tuple[int, int, int]] = []
    clock = seen_at[root] = lowest[root] = 1
    stack: list[tuple[int, int, int, int]] = [(root, -1, -1, 0)]  # node, the link and the node it was reached by, next
    used: set[int] = set()
    while stack:
        here, by, parent, turn = stack.pop()
        around = neighbours[here]
        while turn < len(around):
            link, there = around[turn]
            turn += 1
            if link in used:
                continue
            used.add(link)
            trail.append((link, here, there))
            if seen_at[there]:
                lowest[here] = min(lowest[here], seen_at[there])
                continue
            clock += 1
            seen_at[there] = lowest[there] = clock
            stack.append((here, by, parent, turn))
            stack.append((there, link, here, 0))
            break
        else:
            if parent >= 0:
                lowest[parent] = min(lowest[parent], lowest[here])
                if lowest[here] >= seen_at[parent]:
                    at = len(trail) - 1
                    while trail[at][0] != by:
                        at -= 1
                    block = Block(parent, tuple(trail[at:]))
                    del trail[at:]
                    blocks.append(block)
                    for _, a, b in block.links:
                        if a != parent:
                            above[a] = block
                        if b != parent:
                            above[b] = block
    return Blocks(tuple(blocks), above)


def reached_from(below: dict[int, list[int]], ends: set[int]) -> set[int]:
    """All nodes from which the way up leads to one of these."""
    seen, todo = set(ends), list(ends)
    while todo:
        for here in below.get(todo.pop(), ()):
            if here not in seen:
                seen.add(here)
                todo.append(here)
    return seen
