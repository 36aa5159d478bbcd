"""In what two states of a vehicle differ: nets, relays, sleepers, by their numbers."""

from collections.abc import Mapping, Sequence

from circuitmap.power.reach import Starts
from circuitmap.power.settle import Standing


def by_net(starts: Starts) -> tuple[Mapping[int, int], ...]:
    """The bits that begin at each net, for each of the four kinds."""
    found: list[dict[int, int]] = []
    for pairs in starts:
        bits: dict[int, int] = {}
        for net, its in pairs:
            bits[net] = bits.get(net, 0) | its
        found.append(bits)
    return tuple(found)


def different_keys(one: Mapping[int, int], other: Mapping[int, int]) -> set[int]:
    return {net for net in {*one, *other} if one.get(net) != other.get(net)}


def different(one: Sequence[int], other: Sequence[int]) -> set[int]:
    return {n for n, (a, b) in enumerate(zip(one, other, strict=True)) if a != b}


def standing_difference(one: Standing, other: Standing) -> tuple[set[int], set[int]]:
    """The relays, and the sleepers, that stand otherwise."""
    return different(one.relays, other.relays), different(one.fed, other.fed) | different(one.awake, other.awake)
