"""How much does this log scatter by itself? Noise as it counts for a level held for long, and the display's step.

Noise of a clamp is correlated: the mean of many samples is worse than that of as many independent ones. So it is
measured on means of blocks, too, and the largest is taken: with the scatter of single samples alone, correlated noise
gives a thousand false steps a day.
"""

from math import log, sqrt
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

    Floats2 = np.ndarray[tuple[int, int], np.dtype[np.float64]]

_BLOCKS = (1, 4, 16, 64, 256)
_SHARE, _AT_SHARE = 0.35, 0.4538
"""A share of the smaller differences, and where it lies for a normal distribution (derived): small events make
differences larger, never smaller."""
_LEAST_DIFFERENCES = 24
_LONG_BLOCK, _FAR = 64, 2.5
"""In a block of so many samples those are left out that are further from its median than so many standard deviations
(judgement)."""
_AT_ONCE = 4096
_EDGE = 11.0
"""How many standard deviations of a single sample a difference must have to be an edge (judgement)."""
_NORMAL = 1.4826
"""Standard deviation of a normal distribution over its median absolute deviation (derived)."""


def display_step(amps: "Floats") -> float:
    """The smallest distance between two values that occur: what the display, or the recorder, rounds to."""
    values = np.unique(np.round(amps[:: max(1, amps.size // 50_000)], 7))
    return float(np.diff(values).min()) if values.size > 1 else 0.0


def sample_noise(amps: "Floats") -> float:
    """The standard deviation, A, of a sample beside its neighbours: less than `noise_of` where noise is correlated."""
    least = display_step(amps) / sqrt(12)
    return max(_NORMAL * float(np.median(np.abs(np.diff(amps)))) / sqrt(2), least) if amps.size > 1 else least


def noise_of(amps: "Floats") -> float:
    """The standard deviation, A, of a single sample that explains how means of any length scatter.

    Blocks with an edge in them are left out, and second differences are taken, so that neither events nor a slow drift
    count as noise. Of a long block, samples far from its middle are left out: an event too small to have an edge would
    else make every block another one where events come oftener than blocks.
    """
    largest = display_step(amps) / sqrt(12)
    if amps.size < 8:
        return largest
    steps = np.diff(amps)
    single = sample_noise(amps)
    edge = np.zeros(amps.size, dtype=bool)
    edge[1:] = np.abs(steps) > _EDGE * single
    for block in _BLOCKS:
        count = amps.size // block
        if count < _LEAST_DIFFERENCES:
            break
        means = _means(amps[: count * block].reshape(count, block), single)
        still = edge[: count * block].reshape(count, block).sum(axis=1) == 0
        bends = (means[:-2] - 2.0 * means[1:-1] + means[2:])[still[:-2] & still[1:-1] & still[2:]]
        if bends.size < _LEAST_DIFFERENCES:
            continue
        spread = float(np.quantile(np.abs(bends), _SHARE)) / _AT_SHARE / sqrt(6)
        largest = max(largest, spread * sqrt(block))
    return largest


def _means(blocks: "Floats2", single: float) -> "Floats":
    """The mean of each block; of long ones without the samples that are far from its median."""
    if blocks.shape[1] < _LONG_BLOCK:
        plain: Floats = blocks.mean(axis=1)
        return plain
    means = np.empty(blocks.shape[0])
    for start in range(0, blocks.shape[0], _AT_ONCE):
        some = blocks[start : start + _AT_ONCE]
        off = np.abs(some - np.median(some, axis=1, keepdims=True))
        usual = max(_NORMAL * float(np.median(off)), single)
        near = off <= _FAR * usual
        near |= ~near.any(axis=1, keepdims=True)  # of two levels with an edge between: not counted anyway
        means[start : start + _AT_ONCE] = np.where(near, some, 0.0).sum(axis=1) / near.sum(axis=1)
    return means


def smallest_shown(noise: float, samples: int, lasting: int) -> float:
    """The height, A, at which a rise that lasts for so many samples is found half of the time; 1.3 times that nearly
    always (measured on simulated nights)."""
    return 2.0 * noise * sqrt(log(max(2, samples)) / max(1, lasting))
