"""Which place readings point to.

The volts of a sound vehicle at the measured points are taken as jointly normal, with the mean and the covariance of the
samples; a bad place adds its fingerprint times how bad it is. How bad: anything from 0.05 to 20 ohm, evenly in its
logarithm, with 0.7, interrupted with 0.3 (judgement).
"""

import math
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from circuitmap.volts.bad_places import AlikePlaces, alike, fingerprints
from circuitmap.volts.foreground import Foreground, Solved, usual_setting
from circuitmap.volts.tolerance import SAMPLES, samples_of

LEAST_OHMS, MOST_OHMS, OPEN_SHARE = 0.05, 20.0, 0.3
METER_PART, METER_VOLTS = 0.0025, 0.008
"""A meter is good to a quarter of a per cent and 8 mV (judgement: a usual one, its leads zeroed)."""
SOUND_SHARE = 0.5
"""How likely everything is sound before it is measured: somebody measures because something does not work well
(judgement)."""
_SIZES = 400
_MOVES_NOTHING = 0.25
"""Squared standard deviations that a place, however bad, must move the readings by to show short of interrupted
(judgement)."""


class SeenVolts(NamedTuple):
    """One reading: a node of the circuit and its volts against the black lead."""

    node: int
    volts: float


class Suspected(NamedTuple):
    """Places that the readings do not tell apart, with the chance of all of them, and the likeliest ohms there;
    infinite: interrupted."""

    numbers: tuple[int, ...]
    chance: float
    ohms: float


class Pointing(NamedTuple):
    """The chance that all is sound, then the places, likeliest first. `strange`: not even the best of them comes near
    what was read."""

    sound: float
    places: tuple[Suspected, ...]
    strange: bool


def pointing(foreground: Foreground, readings: Sequence[SeenVolts], weights: Mapping[int, float]) -> Pointing:
    """What readings point to. `weights` say how often each resistance goes bad, by its number."""
    nodes = [its.node for its in readings]
    drawn = samples_of(foreground, SAMPLES)
    usual = Solved(foreground, usual_setting(foreground))
    solved = [Solved(foreground, setting, usual) for setting in drawn]
    seen = [[its.at(node) for node in nodes] for its in solved]
    count = len(nodes)
    mean = [sum(row[i] for row in seen) / SAMPLES for i in range(count)]
    spread = [
        [sum((row[i] - mean[i]) * (row[j] - mean[j]) for row in seen) / SAMPLES for j in range(count)]
        for i in range(count)
    ]
    for i, reading in enumerate(readings):
        spread[i][i] += (METER_PART * reading.volts) ** 2 + METER_VOLTS**2
    inverse = _inverse(spread)
    apart = [reading.volts - its for reading, its in zip(readings, mean, strict=True)]
    nothing = _square(inverse, apart, apart)
    groups = alike(fingerprints(foreground, nodes))
    all_weights = sum(weights.get(number, 1.0) for group in groups for number in group.numbers) or 1.0
    rows = []
    for group in groups:
        likelihood, ohms = _likelihood(group, inverse, apart, nothing)
        prior = (1 - SOUND_SHARE) * sum(weights.get(number, 1.0) for number in group.numbers) / all_weights
        rows.append((group, math.log(prior) + likelihood, ohms))
    sound = math.log(SOUND_SHARE) - nothing / 2
    highest = max([sound, *(its for _, its, _ in rows)])
    total = math.exp(sound - highest) + sum(math.exp(its - highest) for _, its, _ in rows)
    places = [Suspected(group.numbers, math.exp(its - highest) / total, ohms) for group, its, ohms in rows]
    places.sort(key=lambda its: -its.chance)
    return Pointing(math.exp(sound - highest) / total, tuple(places), highest < -_STRANGE * count - 4)


_STRANGE = 8.0
"""Squared deviations over two, for each reading, from which on nothing fits (judgement: four standard deviations)."""


def _likelihood(
    group: AlikePlaces, inverse: list[list[float]], apart: list[float], nothing: float
) -> tuple[float, float]:
    """The logarithm of how well one place fits, over all sizes, and its likeliest size."""
    moves = list(group.fingerprint.moves)
    along = _square(inverse, moves, apart)
    steep = _square(inverse, moves, moves)

    def at(share: float) -> float:
        return -(nothing - 2 * share * along + share * share * steep) / 2

    off = [its - move for its, move in zip(apart, group.fingerprint.open, strict=True)]
    open_ = -_square(inverse, off, off) / 2
    if steep < _MOVES_NOTHING:  # before a converter: it shows only once it is interrupted
        return math.log(OPEN_SHARE) + open_, math.inf
    step = math.log(MOST_OHMS / LEAST_OHMS) / _SIZES
    sizes = [LEAST_OHMS * math.exp(step * (n + 0.5)) for n in range(_SIZES)]
    likely = [(_over(group, size, step, at, steep, along), size) for size in sizes]
    best, size = max(likely)
    highest = max(best, open_)
    total = OPEN_SHARE * math.exp(open_ - highest)
    total += (1 - OPEN_SHARE) * sum(math.exp(its - highest) for its, _ in likely) / _SIZES
    return highest + math.log(total), math.inf if open_ > best else size


def _over(
    group: AlikePlaces, size: float, step: float, at: Callable[[float], float], steep: float, along: float
) -> float:
    """The logarithm of the mean likelihood over one step of sizes: where the peak is narrower than the step, its
    area."""
    share = group.fingerprint.share
    low, high = share(size * math.exp(-step / 2)), share(size * math.exp(step / 2))
    width = 1 / math.sqrt(steep) if steep > 0 else math.inf
    if width > high - low:
        return at(share(size))
    peak = along / steep
    ends = [math.erf((end - peak) / width / math.sqrt(2)) for end in (low, high)]
    area = (ends[1] - ends[0]) / 2 * width * math.sqrt(2 * math.pi) / (high - low)
    return at(peak) + math.log(area) if area > 0 else at(low if abs(low - peak) < abs(high - peak) else high)


def _square(matrix: list[list[float]], one: list[float], other: list[float]) -> float:
    return sum(
        a * sum(its * b for its, b in zip(row, other, strict=True)) for a, row in zip(one, matrix, strict=True)
    )  # fmt: skip


def _inverse(matrix: list[list[float]]) -> list[list[float]]:
    """The inverse of a small positive definite matrix."""
    count = len(matrix)
    rows = [[*row, *(float(i == j) for j in range(count))] for i, row in enumerate(matrix)]
    for i in range(count):
        best = max(range(i, count), key=lambda k: abs(rows[k][i]))
        rows[i], rows[best] = rows[best], rows[i]
        pivot = rows[i][i]
        rows[i] = [value / pivot for value in rows[i]]
        for k in range(count):
            if k != i and rows[k][i]:
                share = rows[k][i]
                rows[k] = [a - share * b for a, b in zip(rows[k], rows[i], strict=True)]
    return [row[count:] for row in rows]
