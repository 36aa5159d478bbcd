"""From cuts to levels that somebody would tell: what is a level, what a bad sample, an inrush, a ramp, a drift."""

from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from circuitmap.recording.cutting import Sums, price_of
from circuitmap.recording.noise import sample_noise

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

FEWEST = 3
"""Fewer samples than that are no level: one or two may be the recorder's, or a contact."""
LONGEST_RAMP = 6
"""Samples over which a recorder that averages smears an edge (judgement)."""
DRIFT_STEP = 0.003
"""Smaller steps, A, are told as drift (judgement: no clamp shows them for sure)."""
_SAME = 4.0
_LONG = 8


class Single(NamedTuple):
    """One or two samples that stand out, after which the level is as before: no event."""

    start: int
    samples: int
    height: float


class FoundLevel(NamedTuple):
    """Samples from `start` up to, not including, `end`, at one level, `step` above the one before; `drift` is how it
    moved in that time. `peak` is the highest of the one or two samples at its beginning that stood above both levels:
    an inrush, a motor."""

    start: int
    end: int
    amps: float
    step: float = 0.0
    drift: float = 0.0
    peak: float | None = None


@dataclass(slots=True)
class _Piece:
    start: int
    end: int
    amps: float
    peak: float | None = None
    smeared: bool = False

    @property
    def size(self) -> int:
        return self.end - self.start


def levels_of(amps: "Floats", cuts: list[int], noise: float) -> tuple[tuple[FoundLevel, ...], tuple[Single, ...]]:
    """Levels one after another over the whole row, and the single samples that are no events."""
    sums = Sums(amps)
    edges = [0, *cuts, amps.size]
    pieces = [_Piece(a, b, sums.mean(a, b)) for a, b in pairwise(edges)]
    singles: list[Single] = []
    _without_singles(pieces, singles, noise)
    _without_peaks(pieces, noise)
    _without_ramps(pieces, amps, noise, sample_noise(amps))
    clean = _without(amps, singles, pieces)
    sums = Sums(clean)
    place = np.arange(amps.size, dtype=np.float64) - amps.size / 2.0
    times = Sums(place)
    moved = np.concatenate(([0.0], np.cumsum((clean - sums.middle) * place)))
    joined = _joined(pieces, sums, times, moved, price_of(noise, amps.size) / 4.0)
    return tuple(joined), tuple(sorted(singles))


def _near(one: float, other: float, noise: float, samples: int) -> bool:
    return abs(one - other) <= _SAME * noise * sqrt(1.0 / max(1, samples)) + 0.03 * abs(one)


def _without_singles(pieces: list[_Piece], singles: list[Single], noise: float) -> None:
    """Takes out one or two samples between levels that are the same."""
    at = 1
    while at < len(pieces) - 1:
        before, it, after = pieces[at - 1], pieces[at], pieces[at + 1]
        shorter = min(before.size, after.size)
        if it.size < FEWEST and shorter > it.size and _near(before.amps, after.amps, noise, min(shorter, 60)):
            singles.append(Single(it.start, it.size, it.amps - before.amps))
            total = before.size + after.size
            before.amps = (before.amps * before.size + after.amps * after.size) / total
            before.end = after.end
            del pieces[at : at + 2]
            at = max(1, at - 1)
        else:
            at += 1


def _without_peaks(pieces: list[_Piece], noise: float) -> None:
    """One or two samples above (or below) both levels beside them belong to the step between these."""
    at = 1
    while at < len(pieces) - 1:
        before, it, after = pieces[at - 1], pieces[at], pieces[at + 1]
        beyond = it.amps > max(before.amps, after.amps) or it.amps < min(before.amps, after.amps)
        if it.size < FEWEST and beyond and before.size > it.size and after.size > it.size:
            after.peak = it.amps
            after.start, after.smeared = it.start, True
            del pieces[at]
        else:
            at += 1


def _without_ramps(pieces: list[_Piece], amps: "Floats", noise: float, beside: float) -> None:
    """Short pieces on the way from one level to another are no levels, if they are not flat: the edge begins with the
    first of them."""
    at = 1
    while at < len(pieces) - 1:
        last = at
        while last < len(pieces) - 1 and pieces[last].end - pieces[at].start <= LONGEST_RAMP:
            last += 1
        before, after = pieces[at - 1], pieces[last]
        between = pieces[at:last]
        values = amps[pieces[at].start : after.start]
        if between and after.size > LONGEST_RAMP // 2 and _is_ramp(before.amps, values, after.amps, noise, beside):
            after.start, after.smeared = between[0].start, True
            del pieces[at:last]
        else:
            at += 1


def _is_ramp(low: float, values: "Floats", high: float, noise: float, beside: float) -> bool:
    """Whether values lead from one level to another without staying anywhere; `beside` is how neighbours scatter."""
    way = high - low
    if abs(way) < _SAME * noise:
        return False
    share = (values - low) / way
    room = 3.0 * noise / abs(way)
    if not (share > -room).all() or not (share < 1.0 + room).all() or (np.diff(share) < -2 * room).any():
        return False
    if values.size < 2:
        return True
    flat = float(values.max() - values.min()) <= 4.0 * beside and 0.1 < float(share.mean()) < 0.9
    return not flat


def _without(amps: "Floats", singles: list[Single], pieces: list[_Piece]) -> "Floats":
    """The samples with bad ones, inrush and edges replaced by the level they stand in."""
    clean = amps.copy()
    for piece in pieces:
        first = slice(piece.start, min(piece.end, piece.start + LONGEST_RAMP))
        if piece.smeared and piece.size > 2 * LONGEST_RAMP:
            clean[first] = np.median(amps[piece.start + LONGEST_RAMP : piece.start + 60])
    for single in singles:
        beside = amps[max(0, single.start - 5) : single.start]
        clean[single.start : single.start + single.samples] = float(np.median(beside)) if beside.size else 0.0
    return clean


def _joined(pieces: list[_Piece], sums: Sums, times: Sums, moved: "Floats", margin: float) -> list[FoundLevel]:
    """Joins what only drifts: where one straight line says about as much as two levels, there is no step."""

    def line_squares(start: int, end: int) -> float:
        spread = times.squares(start, end)
        together = float(moved[end] - moved[start])
        count = end - start
        together -= (
            (sums.first[end] - sums.first[start])
            * (times.first[end] - times.first[start] + times.middle * count)
            / count
        )
        return max(0.0, sums.squares(start, end) - together * together / spread) if spread > 0 else 0.0

    levels: list[FoundLevel] = []
    for at, piece in enumerate(pieces):
        mean = sums.mean(piece.start, piece.end)
        this = FoundLevel(piece.start, piece.end, mean, peak=piece.peak)
        if levels:
            before, start = levels[-1], pieces[at - 1].start
            reach = min(piece.size, piece.start - start)
            height = mean - sums.mean(start, piece.start)
            small = abs(height) < DRIFT_STEP
            if not small and reach >= _LONG:
                a, b = piece.start - reach, piece.start + reach
                two = sums.squares(a, piece.start) + sums.squares(piece.start, b)
                small = line_squares(a, b) < two + margin
            if small:
                whole = sums.mean(before.start, piece.end)
                levels[-1] = before._replace(end=piece.end, amps=whole, drift=before.drift + height)
                continue
            this = this._replace(step=height)
        levels.append(this)
    return levels
