"""How much a test is expected to tell, in bits, about whatever distinguishes the groups."""

from collections.abc import Hashable, Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def entropy(weights: Array, axis: int = -1) -> Array:
    """Entropy in bits of weights along an axis, which need not add up to 1."""
    total = weights.sum(axis=axis, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = weights / total
        bits = np.where(share > 0.0, -share * np.log2(share), 0.0)
    return np.asarray(bits.sum(axis=axis))


def group_numbers(groups: Sequence[Hashable]) -> tuple[NDArray[np.intp], int]:
    """A number for each distinct group, and how many there are."""
    numbers: dict[Hashable, int] = {}
    return np.array([numbers.setdefault(group, len(numbers)) for group in groups], dtype=np.intp), len(numbers)


def expected_bits(weights: Array, groups: Sequence[Hashable], chances: Array) -> Array:
    """Expected information about the group, for tests of which `chances[..., e, o]` is the chance of
    outcome o under explanation e."""
    numbers, count = group_numbers(groups)
    order = np.argsort(numbers, kind="stable")
    starts = np.searchsorted(numbers[order], np.arange(count))
    share = weights / weights.sum()
    joint = np.add.reduceat(share[order, None] * chances[..., order, :], starts, axis=-2)
    outcomes = joint.sum(axis=-2)
    before = entropy(joint.sum(axis=-1))
    with np.errstate(divide="ignore", invalid="ignore"):
        after = -np.where(joint > 0.0, joint * np.log2(joint), 0.0).sum(axis=(-2, -1))
        spread = -np.where(outcomes > 0.0, outcomes * np.log2(outcomes), 0.0).sum(axis=-1)
    return np.asarray(np.maximum(before - (after - spread), 0.0))
