"""The explanations that hold nearly all of the probability, one by one: what the next test is chosen over."""

from collections.abc import Container, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.weighing.weights import Weighing

HELD = 0.999
MOST_LISTED = 800
"""How many explanations are listed at most (judgement); the weight of the rest is shared out among them."""


class Listed(NamedTuple):
    """Explanations as (first fault, second fault or -1) and their weights, which add up to 1."""

    first: NDArray[np.intp]
    second: NDArray[np.intp]
    weights: NDArray[np.float64]

    def parts_of(self, faults: Sequence[Fault], settled: Container[int] = ()) -> list[frozenset[str]]:
        """What there is to mend under each explanation; of two faults, one that is settled counts no more."""
        return self._each_of([fault.part for fault in faults], settled)

    def abouts_of(self, faults: Sequence[Fault], settled: Container[int] = ()) -> list[frozenset[str]]:
        """What each explanation is about."""
        return self._each_of([fault.about for fault in faults], settled)

    def _each_of(self, words: Sequence[str], settled: Container[int]) -> list[frozenset[str]]:
        """For each explanation the words of its one or two faults; `words` has one for each fault."""
        found = []
        for a, b in zip(self.first.tolist(), self.second.tolist(), strict=True):
            both = (a,) if b < 0 else (a, b)
            left = [n for n in both if n not in settled] or both
            found.append(frozenset(words[n] for n in left))
        return found


def listed(weighing: Weighing) -> Listed:
    """The likeliest explanations, single faults and pairs, until they hold 99.9 % of the probability."""
    singles = weighing.singles / weighing.something
    odds, rows = weighing.odds, weighing.row_of
    heavy = np.argsort(-weighing.given_something, kind="stable")[: min(len(odds), 300)]
    heavy = heavy[odds[heavy] > 0.0]
    block = np.outer(odds[heavy], odds[heavy]) * weighing.chance_pair[np.ix_(rows[heavy], rows[heavy])]
    block /= weighing.something
    upper_a, upper_b = np.triu_indices(len(heavy), 1)
    pairs = block[upper_a, upper_b]
    number = {int(fault): n for n, fault in enumerate(heavy)}
    for joint in weighing.together:
        if joint.first in number and joint.second in number:
            a, b = sorted((number[joint.first], number[joint.second]))
            row_starts_at = a * len(heavy) - a * (a + 1) // 2
            pairs[row_starts_at + b - a - 1] += weighing.mended(joint) / weighing.something
    first = np.concatenate([np.arange(len(odds)), heavy[upper_a]])
    second = np.concatenate([np.full(len(odds), -1), heavy[upper_b]])
    weights = np.concatenate([singles, np.maximum(pairs, 0.0)])
    count = min(MOST_LISTED, len(weights))
    top = np.argpartition(-weights, count - 1)[:count]
    top = top[np.argsort(-weights[top], kind="stable")]
    enough = int(np.searchsorted(np.cumsum(weights[top]), HELD * weights.sum())) + 1
    top = top[: max(enough, 2)]
    held = weights[top]
    return Listed(first[top], second[top], held / held.sum())
