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


def group_numbers(groups: Sequence[Hashable] | NDArray[np.intp]) -> tuple[NDArray[np.intp], int]:
    """A number for each distinct group, and how many there are. An array holds such numbers already."""
    if isinstance(groups, np.ndarray):
        return groups, int(groups.max()) + 1
    numbers: dict[Hashable, int] = {}
    return np.array([numbers.setdefault(group, len(numbers)) for group in groups], dtype=np.intp), len(numbers)


def expected_bits(weights: Array, groups: Sequence[Hashable] | NDArray[np.intp], chances: Array) -> Array:
    """Expected information about the group, for tests of which `chances[..., e, o]` is the chance of
    outcome o under explanation e."""
    numbers, count = group_numbers(groups)
    order = np.argsort(numbers, kind="stable")
    starts = np.searchsorted(numbers[order], np.arange(count))
    share = (weights / weights.sum())[order]
    joint = np.take(chances, order, axis=-2)
    joint *= share[:, None]
    joint = np.add.reduceat(joint, starts, axis=-2)
    # The few outcomes are taken one by one: numpy is slow to add up along a short last axis.
    each = [joint[..., outcome] for outcome in range(joint.shape[-1])]
    before = _bits(np.add.reduceat(share, starts))
    after = sum(_bits(its) for its in each)
    spread = _bits(np.stack([its.sum(axis=-1) for its in each], axis=-1))
    return np.asarray(np.maximum(before - (after - spread), 0.0))


def _bits(shares: Array) -> Array:
    """Sum of -p log2 p along the last axis, for shares that need not add up to 1."""
    with np.errstate(divide="ignore", invalid="ignore"):
        bits = shares * np.log2(shares)
    return np.asarray(-np.where(shares > 0.0, bits, 0.0).sum(axis=-1))
