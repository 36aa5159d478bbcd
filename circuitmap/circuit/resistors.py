"""Resistors that take a current of their own: those that lie between supply and ground with no load in between.

Any other resistor only passes on what the load behind it takes, and counts as part of its wire.
"""

from collections.abc import Iterable, Sequence

from circuitmap.circuit.blocks import blocks_from
from circuitmap.circuit.link import NEVER_CROSSED, Link, LoadPins


def loads_by_themselves(
    links: Sequence[Link], ends: Sequence[tuple[int, int]], supplies: Iterable[int], grounds: Iterable[int]
) -> dict[str, LoadPins]:
    """Such resistors by name, whatever the contacts on the way do. `supplies` and `grounds` are numbers of nodes, the
    grounds all that metal joins to a minus: a shunt between two of them takes nothing of its own.

    With all supplies one node, all grounds another and a link between the two, these are the resistors in that link's
    block.
    """
    resistors = {i: link for i, link in enumerate(links) if link.kind == "resistor"}
    if not resistors:
        return {}
    highest = max(max(pair) for pair in ends)
    low, top = highest + 1, highest + 2
    merged = {**dict.fromkeys(grounds, low), **dict.fromkeys(supplies, top)}
    neighbours: list[list[tuple[int, int]]] = [[] for _ in range(top + 1)]
    between = len(links)
    joined = [(between, top, low)]
    joined += [(i, *ends[i]) for i, link in enumerate(links) if link.kind not in NEVER_CROSSED]
    for i, one, other in joined:
        a, b = merged.get(one, one), merged.get(other, other)
        if a != b and (i == between or {a, b} != {top, low} or i in resistors):
            neighbours[a].append((i, b))
            neighbours[b].append((i, a))
    for block in blocks_from(top, neighbours).blocks:
        inside = {link for link, _, _ in block.links}
        if between in inside:
            its = (resistors[i] for i in sorted(inside & resistors.keys()))
            return {link.part: LoadPins(link.part, (link.a,), (link.b,)) for link in its}
    return {}
