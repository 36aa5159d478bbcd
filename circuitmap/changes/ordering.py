"""In which order the statements and the sheets of a merged file stand."""

from collections import defaultdict
from collections.abc import Hashable, Iterator, Sequence
from itertools import pairwise
from typing import TypeVar

Item = TypeVar("Item", bound=Hashable)


def merged_order(base: Sequence[Item], ours: Sequence[Item], theirs: Sequence[Item]) -> Iterator[Item]:
    """All items of both sides, each once.

    The order is that of one side: theirs if only they moved something, else ours. What only the other side has stands
    after whatever it follows there, and after what the first side put at the same place.
    """
    first, second = (theirs, ours) if _moved(base, theirs) and not _moved(base, ours) else (ours, theirs)
    here = set(first)
    behind: dict[Item | None, list[Item]] = defaultdict(list)
    last: Item | None = None
    for item in second:
        if item in here:
            last = item
        else:
            behind[last].append(item)
    there = set(second)
    last = None
    for item in first:
        if item in there:
            yield from behind[last]
            last = item
        yield item
    yield from behind[last]


def _moved(base: Sequence[Item], side: Sequence[Item]) -> bool:
    places = {item: place for place, item in enumerate(base)}
    return any(b < a for a, b in pairwise(places[item] for item in side if item in places))
