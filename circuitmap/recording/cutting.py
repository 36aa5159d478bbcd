"""Where does the level change? The row of samples cut so that squares about the levels, and a price for each cut, are
least.

Exact over all places that the screening leaves: those where the means over some distance to both sides differ. A row
that is short is cut exactly over all of its places.
"""

from math import log
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from circuitmap.recording.recorded import Floats

    Places = NDArray[np.int64]

_LEVEL = 2.5
"""How many standard errors two means must differ for the place between to be kept: chosen on nights of their own, on
which no lower one found more."""
_SHORT = 400
_MOST_PLACES = 20_000
_SWEEPS = 3


class Sums:
    """Sums up to each sample, so that the squares about a level over any stretch are one subtraction."""

    def __init__(self, amps: "Floats") -> None:
        self.size = amps.size
        middle = float(np.median(amps)) if amps.size else 0.0
        self.middle = middle
        centred = amps - middle
        self.first = np.concatenate(([0.0], np.cumsum(centred)))
        self.second = np.concatenate(([0.0], np.cumsum(centred * centred)))

    def mean(self, start: int, end: int) -> float:
        return float((self.first[end] - self.first[start]) / (end - start)) + self.middle

    def squares(self, start: int, end: int) -> float:
        total = float(self.first[end] - self.first[start])
        return max(0.0, float(self.second[end] - self.second[start]) - total * total / (end - start))


def price_of(noise: float, samples: int) -> float:
    """What a cut costs, so that noise alone makes none: twice the variance times the logarithm of the number."""
    return 2.0 * noise * noise * log(max(2, samples))


def cuts_of(sums: Sums, noise: float, price: float) -> list[int]:
    """The places of the cuts: each is the first sample of a new level."""
    if sums.size < 2:
        return []
    if sums.size <= _SHORT:
        places = np.arange(1, sums.size, dtype=np.int64)
        return best_cuts(sums, places, price)
    return _moved(sums, best_cuts(sums, _screened(sums, noise), price), price)


def best_cuts(sums: Sums, places: "Places", price: float) -> list[int]:
    """The best of all ways to cut at some of these places.

    A last cut that costs more by now than the best cut here can never win later, and is left out of what is compared.
    """
    ends = np.concatenate((np.zeros(1, dtype=np.int64), places, np.full(1, sums.size, dtype=np.int64)))
    first, second = sums.first[ends], sums.second[ends]
    best = np.empty(ends.size)
    best[0] = -price
    last = np.zeros(ends.size, dtype=np.int64)
    open_ones = np.zeros(1, dtype=np.int64)
    for at in range(1, ends.size):
        total = first[at] - first[open_ones]
        squares = second[at] - second[open_ones] - total * total / (ends[at] - ends[open_ones])
        costs = best[open_ones] + squares
        which = int(np.argmin(costs))
        best[at] = costs[which] + price
        last[at] = open_ones[which]
        open_ones = np.append(open_ones[costs <= best[at]], at)
    cuts = []
    at = int(last[ends.size - 1])
    while at > 0:
        cuts.append(int(ends[at]))
        at = int(last[at])
    return cuts[::-1]


def _screened(sums: Sums, noise: float) -> "Places":
    """Places where the means to both sides differ, at the lowest level at which there are not too many."""
    size, first = sums.size, sums.first
    kept: list[Places] = []
    levels: list[Floats] = []
    distance = 1
    while distance <= size // 2:
        apart = first[2 * distance :] - first[distance:-distance]
        apart -= first[distance:-distance]
        apart += first[: -2 * distance]
        np.abs(apart, out=apart)
        error = noise * (2.0 * distance) ** 0.5
        places = np.nonzero(apart > _LEVEL * error)[0]
        if distance > 1 and places.size:
            places = _peaks(apart, places, distance)
        kept.append(places + distance)
        levels.append(apart[places] / error)
        distance *= 2
    if not kept:
        return np.empty(0, dtype=np.int64)
    every, level, reached = np.concatenate(kept), np.concatenate(levels), _LEVEL
    while (found := np.unique(every[level > reached])).size > _MOST_PLACES:
        reached *= 1.25
    return found


def _peaks(apart: "Floats", places: "Places", reach: int) -> "Places":
    """Those places that are the highest of each block of length `reach`: work grows with the row only."""
    block = places // max(1, reach)
    starts = np.concatenate(([0], np.nonzero(np.diff(block))[0] + 1))
    highest = np.maximum.reduceat(apart[places], starts)
    group = np.cumsum(np.concatenate(([0], (np.diff(block) != 0).astype(np.int64))))
    highest_here: Places = places[apart[places] >= highest[group]]
    return highest_here


def _moved(sums: Sums, cuts: list[int], price: float) -> list[int]:
    """Each cut moved to its best place between its neighbours, and taken away where it is not worth its price."""
    for _ in range(_SWEEPS):
        before = list(cuts)
        edges = [0, *cuts, sums.size]
        for at in range(1, len(edges) - 1):
            edges[at] = _best_between(sums, edges[at - 1], edges[at + 1])
        cuts = _worth(sums, edges, price)
        if cuts == before:
            break
    return cuts


def _best_between(sums: Sums, start: int, end: int) -> int:
    places = np.arange(start + 1, end)
    left = sums.first[places] - sums.first[start]
    right = sums.first[end] - sums.first[places]
    # The sum of squares of the samples is the same wherever the cut lies: only what the means take off differs.
    return int(places[np.argmax(left * left / (places - start) + right * right / (end - places))])


def _worth(sums: Sums, edges: list[int], price: float) -> list[int]:
    kept = [0]
    for at in range(1, len(edges) - 1):
        start, place, end = kept[-1], edges[at], edges[at + 1]
        gain = sums.squares(start, end) - sums.squares(start, place) - sums.squares(place, end)
        if gain >= price:
            kept.append(place)
    return kept[1:]
