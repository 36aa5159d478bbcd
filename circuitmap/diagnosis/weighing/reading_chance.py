"""How likely a meter is to show what it showed, given what may be flowing.

A reading is a strip of the scale: the display's last digit, or two counts either way. The current
behind it is a log-normal (or exactly nothing), blurred by the meter's relative error and by errors
in amps that do not depend on the current: the zero, and whatever was taken off for measured branches.
"""

from collections.abc import Iterator, Sequence
from math import erfc, exp, hypot, inf, isinf, log, pi, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.bell_curve import area_between, area_between_two
from circuitmap.diagnosis.weighing.log_normal import log_shape

Array = NDArray[np.float64]

# Numerical choices: how far a blurred edge reaches, where "next to nothing" begins, the nodes.
_EDGE = 6.5
_NEXT_TO_NOTHING = 0.002
_PANEL_IN_LOG = 1.2
_PANEL_IN_BLURS = 4.0
# Gauss-Legendre, eight nodes (a test compares them with numpy's; numpy.polynomial is not imported for them).
_NODES = np.array([
    -0.9602898564975362, -0.7966664774136267, -0.525532409916329, -0.18343464249564978,
    0.18343464249564978, 0.525532409916329, 0.7966664774136267, 0.9602898564975362,
])  # fmt: skip
_WEIGHTS = np.array([
    0.10122853629037706, 0.22238103445337443, 0.3137066458778869, 0.36268378337836166,
    0.36268378337836166, 0.3137066458778869, 0.22238103445337443, 0.10122853629037706,
])  # fmt: skip
_NARROWEST_SIGMA = 1e-3
_SHARP_EDGE = 1e-4
_ROWS_AT_ONCE = 4096
_SUMS_AT_ONCE = 400_000

# Judgement: a misread, a slipped clamp, a digit written down wrong; not so often that a second fault could never win
# against it (compared on simulated vehicles).
MISREAD = 0.02
# Judgement: half of what goes wrong shows nothing at all; the rest may be anything, as currents in parked vehicles are:
# the larger one is, the less likely it is shown by a slip. (A spread of 1.5 was compared on simulated vehicles.)
ANYTHING_MEDIAN, ANYTHING_SIGMA = 0.15, 1.5


class Strip(NamedTuple):
    """The part of the scale that a reading stands for, in amps; ``highest`` may be infinite ("draws").

    ``blur`` is the standard deviation of the error in amps, ``relative`` that of the error in proportion.
    """

    lowest: float
    highest: float
    blur: float = 0.0
    relative: float = 0.0


class Asked(NamedTuple):
    """A reading and the sums of currents that it is weighed against: their means in A, variances in A^2. `shown` is the
    reading as it was shown, where the strip is it less a zero: a slip knows of no zero. `least` is the least chance
    that a slip shows just this."""

    strip: Strip
    means: Array
    variances: Array
    misread: float = MISREAD
    shown: Strip | None = None
    least: float = 0.0

    @property
    def by_slip(self) -> float:
        return chance_of_slip(self.shown or self.strip, self.misread, self.least)


def chance_of(strip: Strip, means: Array, variances: Array) -> Array:
    """Chance of reading ``strip`` for sums of currents with these means (A) and variances (A^2)."""
    if _is_sharp(strip):
        return _sharp_chance([Asked(strip, means, variances)])
    log_medians, sigmas = _shape(means, variances, strip.relative)
    chance: Array = np.where(means > 0.0, _blurred(strip, log_medians, sigmas), _chance_of_nothing(strip))
    return np.clip(chance, 0.0, 1.0)


def weigh(strip: Strip, means: Array, variances: Array, misread: float = MISREAD) -> Array:
    """Natural logarithm of the chance of the reading, allowing that it may simply be wrong."""
    return _weigh(Asked(strip, means, variances, misread))


def _weigh(one: Asked) -> Array:
    return or_misread(chance_of(one.strip, one.means, one.variances), one.misread, one.by_slip)


def weigh_each(asked: Sequence[Asked]) -> list[Array]:
    """The same for many readings: readings without a blurred edge are done all at once."""
    found = [np.empty(0)] * len(asked)
    for sharp in _in_pieces(asked):
        together = [asked[n] for n in sharp]
        sizes = [one.means.size for one in together]
        misread = np.array([one.misread for one in together])
        by_slip = np.array([one.by_slip for one in together])
        logs = or_misread(_sharp_chance(together), np.repeat(misread, sizes), np.repeat(by_slip, sizes))
        for n, its in zip(sharp, np.split(logs, np.cumsum(sizes)[:-1]), strict=True):
            found[n] = its
    for n, one in enumerate(asked):
        if not _is_sharp(one.strip):
            found[n] = _weigh(one)
    return found


def _in_pieces(asked: Sequence[Asked]) -> Iterator[list[int]]:
    """The numbers of the readings without a blurred edge, as many at once as fit in memory."""
    piece: list[int] = []
    sums = 0
    for n, one in enumerate(asked):
        if not _is_sharp(one.strip):
            continue
        if piece and sums + one.means.size > _SUMS_AT_ONCE:
            yield piece
            piece, sums = [], 0
        piece.append(n)
        sums += one.means.size
    if piece:
        yield piece


def chances_of_blurred(strips: Sequence[Strip], means: Array, variances: Array) -> Array:
    """`chance_of` for many finite strips of one blur, without an error in proportion: a row for each strip. What may
    flow is laid out once for all of them."""
    blur, reach = strips[0].blur, _EDGE * strips[0].blur
    log_medians, sigmas = _shape(means, variances, 0.0)
    nothing = np.array([_chance_of_nothing(strip) for strip in strips])
    last = max(strip.highest for strip in strips) + reach
    first = max(_NEXT_TO_NOTHING * blur, min(strip.lowest for strip in strips) - reach)
    chance = np.zeros((len(strips), len(means)))
    if first < last:
        places, weights = _nodes_over([(first, last)], blur)
        amps = np.exp(places)
        ends = np.array([(strip.lowest, strip.highest) for strip in strips])
        seen = area_between((ends[:, :1] - amps) / blur, (ends[:, 1:] - amps) / blur) * weights / sqrt(2.0 * pi)
        for start in range(0, len(means), _ROWS_AT_ONCE):
            rows = slice(start, start + _ROWS_AT_ONCE)
            density = np.square((places - log_medians[rows, None]) / sigmas[rows, None])
            with np.errstate(under="ignore"):
                chance[:, rows] = seen @ np.exp(-0.5 * density).T / sigmas[rows]
    chance += nothing[:, None] * _between(-np.inf, log(first), log_medians, sigmas)
    return np.asarray(np.clip(np.where(means > 0.0, chance, nothing[:, None]), 0.0, 1.0))


def chances_each_blurred(strips: Sequence[Strip], which: NDArray[np.intp], means: Array, variances: Array) -> Array:
    """`chance_of` for sums that have a finite strip each, told by its number, without an error in proportion. All are
    done at once: what arrays cost is paid once, not for each of a dozen strips."""
    log_medians, sigmas = _shape(means, variances, 0.0)
    nothing = np.array([_chance_of_nothing(strip) for strip in strips])
    lowest, highest, blur, _ = np.array(strips).T
    first = np.maximum(_NEXT_TO_NOTHING * blur, lowest - _EDGE * blur)
    last = highest + _EDGE * blur
    nodes = [
        _nodes_over([(a, b)], its) if a < b else (np.zeros(1), np.zeros(1))
        for a, b, its in zip(first.tolist(), last.tolist(), blur.tolist(), strict=True)
    ]
    most = max(len(places) for places, _ in nodes)
    places, weights = np.zeros((2, len(strips), most))  # beyond a strip's own nodes they weigh nothing
    for n, (own_places, own_weights) in enumerate(nodes):
        places[n, : len(own_places)], weights[n, : len(own_weights)] = own_places, own_weights
    amps, blurs = np.exp(places), blur[:, None]
    seen = area_between((lowest[:, None] - amps) / blurs, (highest[:, None] - amps) / blurs) * weights / sqrt(2.0 * pi)
    chance = np.empty(len(means))
    for start in range(0, len(means), _ROWS_AT_ONCE):
        rows = slice(start, start + _ROWS_AT_ONCE)
        its = which[rows]
        density = np.square((places[its] - log_medians[rows, None]) / sigmas[rows, None])
        with np.errstate(under="ignore"):
            chance[rows] = (seen[its] * np.exp(-0.5 * density)).sum(axis=1) / sigmas[rows]
    chance += nothing[which] * _between(-np.inf, np.log(first)[which], log_medians, sigmas)
    return np.asarray(np.clip(np.where(means > 0.0, chance, nothing[which]), 0.0, 1.0))


def or_misread(chance: Array, misread: Array | float, by_slip: Array | float) -> Array:
    with np.errstate(divide="ignore"):
        return np.asarray(np.log((1.0 - misread) * chance + by_slip))


def _is_sharp(strip: Strip) -> bool:
    return strip.blur == 0.0 or strip.blur <= _SHARP_EDGE * (strip.highest - strip.lowest)


def _shape(means: Array, variances: Array, relative: Array | float) -> tuple[Array, Array]:
    """Log medians and sigmas, the meter's error in proportion included."""
    log_medians, sigmas = log_shape(means, variances)
    return log_medians, np.maximum(np.hypot(sigmas, relative), _NARROWEST_SIGMA)


def _sharp_chance(together: Sequence[Asked]) -> Array:
    """Chances of readings without a blurred edge, one after the other."""
    sizes = [one.means.size for one in together]
    ends = [
        (_log_or_nothing(strip.lowest), _log_or_nothing(strip.highest), strip.relative, _chance_of_nothing(strip))
        for strip, *_ in together
    ]
    low, high, relative, nothing = np.repeat(np.array(ends).T, sizes, axis=1)
    means = np.concatenate([one.means for one in together])
    log_medians, sigmas = _shape(means, np.concatenate([one.variances for one in together]), relative)
    chance: Array = np.where(means > 0.0, _between(low, high, log_medians, sigmas), nothing)
    return np.clip(chance, 0.0, 1.0)


def chance_of_slip(shown: Strip, misread: float, least: float) -> float:
    """The chance of what was shown by a slip alone, whatever is wrong; `least` is the least that a slip shows just
    this."""
    return misread * max(chance_if_misread(shown), least)


def chance_if_misread(strip: Strip) -> float:
    """Chance of this reading when it has nothing to do with the car."""
    if strip.lowest <= 0.0:
        return 0.5
    if isinf(strip.highest):
        return 0.5
    sigma = hypot(ANYTHING_SIGMA, strip.relative, strip.blur / strip.lowest)
    # Small currents, which a meter's last digits make up by themselves, are no less likely the smaller they are.
    centre = min(ANYTHING_MEDIAN, sqrt(strip.lowest * strip.highest))
    low, high = (log(end / centre) / (sigma * sqrt(2.0)) for end in (strip.lowest, strip.highest))
    # The smaller tail, so that small chances keep their digits.
    anything = 0.25 * (erfc(low) - erfc(high) if low > 0.0 else erfc(-high) - erfc(-low))
    return anything + 0.5 * _chance_of_nothing(strip)


def _log_or_nothing(amps: float) -> float:
    return log(amps) if amps > 0.0 else -inf


def _between(log_lowest: Array | float, log_highest: Array | float, log_medians: Array, sigmas: Array) -> Array:
    """Chance that what flows is between two currents, given by their logarithms."""
    with np.errstate(invalid="ignore", over="ignore"):
        low = (log_lowest - log_medians) / sigmas
        high = (log_highest - log_medians) / sigmas
    return area_between(np.nan_to_num(low, nan=0.0), np.nan_to_num(high, nan=0.0))


def _chance_of_nothing(strip: Strip) -> float:
    """Chance of the reading where no current flows at all."""
    if strip.blur == 0.0:
        return 1.0 if strip.lowest <= 0.0 <= strip.highest else 0.0
    return area_between_two(strip.lowest / strip.blur, strip.highest / strip.blur)


def _shows(strip: Strip, amps: Array) -> Array:
    """Chance that the meter shows the strip while exactly ``amps`` flow."""
    return area_between((strip.lowest - amps) / strip.blur, (strip.highest - amps) / strip.blur)


def _blurred(strip: Strip, log_medians: Array, sigmas: Array) -> Array:
    """Integral of what the meter shows over what may flow.

    Below the first node the meter cannot tell the current from nothing, on the plateau in the middle
    it surely shows the strip: both are areas. The two edges are summed over Gauss-Legendre nodes in
    the logarithm of the current, shared by all sums.
    """
    reach = _EDGE * strip.blur
    first = max(_NEXT_TO_NOTHING * strip.blur, strip.lowest - reach)
    open_end = isinf(strip.highest)
    last = (strip.lowest if open_end else strip.highest) + reach
    if last <= first:
        return np.zeros_like(log_medians)
    plateau = (strip.lowest + reach, strip.highest - reach)
    has_plateau = not open_end and first < plateau[0] < plateau[1]
    edges = [(first, plateau[0]), (plateau[1], last)] if has_plateau else [(first, last)]

    chance = np.zeros_like(log_medians)
    if strip.lowest - reach < first:
        chance += _chance_of_nothing(strip) * _between(-inf, log(first), log_medians, sigmas)
    if has_plateau:
        chance += _between(log(plateau[0]), log(plateau[1]), log_medians, sigmas)
    if open_end:
        chance += _between(log(last), inf, log_medians, sigmas)

    places, weights = _nodes_over(edges, strip.blur)
    seen = weights * _shows(strip, np.exp(places)) / sqrt(2.0 * pi)
    for start in range(0, log_medians.size, _ROWS_AT_ONCE):
        rows = slice(start, start + _ROWS_AT_ONCE)
        density = places - log_medians.reshape(-1)[rows, None]
        density /= sigmas.reshape(-1)[rows, None]
        np.square(density, out=density)
        density *= -0.5
        with np.errstate(under="ignore"):
            np.exp(density, out=density)
        chance.reshape(-1)[rows] += (density @ seen) / sigmas.reshape(-1)[rows]
    return chance


def _nodes_over(edges: list[tuple[float, float]], blur: float) -> tuple[Array, Array]:
    """Nodes in the logarithm of the current, and their weights, in panels that are short both in
    proportion (for the current's own spread) and in amps (for the blurred edge)."""
    cuts_low, cuts_high = [], []
    for low, high in edges:
        at = low
        while at < high:
            onward = min(at * exp(_PANEL_IN_LOG), at + _PANEL_IN_BLURS * blur, high)
            cuts_low.append(log(at))
            cuts_high.append(log(onward))
            at = onward if onward > at else high
    left, right = np.array(cuts_low)[:, None], np.array(cuts_high)[:, None]
    half = (right - left) / 2.0
    return ((left + right) / 2.0 + half * _NODES).reshape(-1), (half * _WEIGHTS).reshape(-1)
