"""When all that is left is to try one thing after the other: in which order, and how many at once."""

from collections.abc import Sequence
from math import ceil, log2


def order_to_try(chances: Sequence[float], costs: Sequence[float]) -> tuple[int, ...]:
    """Try first what has the highest chance per minute: the cheapest order for a single fault and sure tests.

    (Kalagnanam and Henrion 1990; Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting",
    Communications of the ACM 38, 1995.)"""
    return tuple(sorted(range(len(chances)), key=lambda n: (-chances[n] / costs[n], n)))


def expected_cost(order: Sequence[int], chances: Sequence[float], costs: Sequence[float]) -> float:
    """Expected cost of trying in this order until the one fault is found."""
    spent = total = 0.0
    for number in order:
        spent += costs[number]
        total += chances[number] * spent
    return total


def groups_take(chance: float, size: int) -> float:
    """Expected tests per part when `size` parts are tested together and apart only if the group shows
    something; each part alike, independently at fault with this chance (R. Dorfman, Annals of Mathematical
    Statistics 14, 1943, 436-440)."""
    return 1.0 if size == 1 else 1.0 / size + 1.0 - (1.0 - chance) ** size


def best_group(chance: float, most: int = 100) -> int:
    """The size of group that needs fewest tests; 1 where testing together does not pay."""
    return min(range(1, most + 1), key=lambda size: groups_take(chance, size))


def halving_takes(parts: int) -> float:
    """Expected tests to find the one of `parts` equally likely parts, half of what is left each time."""
    if parts <= 1:
        return 0.0
    deep = ceil(log2(parts))
    return deep - ((1 << deep) - parts) / parts


def one_by_one_takes(parts: int) -> float:
    """Expected tests to find it one after the other; the last one needs no test of its own."""
    return (parts * (parts - 1) / 2.0 + parts - 1) / parts
