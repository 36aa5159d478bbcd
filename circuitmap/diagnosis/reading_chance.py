"""How likely a meter is to show what it showed, given what may be flowing.

A reading is a strip of the scale: the display's last digit, or two counts either way. The current
behind it is a log-normal (or exactly nothing), blurred by the meter's relative error and by errors
in amps that do not depend on the current: the zero, and whatever was taken off for measured branches.
"""

from math import exp, inf, isinf, log, pi, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.bell_curve import area_between
from circuitmap.diagnosis.log_normal import log_shape

Array = NDArray[np.float64]

# Numerical choices: how far a blurred edge reaches, where "next to nothing" begins, the nodes.
_EDGE = 6.5
_NEXT_TO_NOTHING = 0.002
_PANEL_IN_LOG = 1.2
_PANEL_IN_BLURS = 4.0
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)
_NARROWEST_SIGMA = 1e-3
_SHARP_EDGE = 1e-4
_ROWS_AT_ONCE = 4096

# Judgement: a misread, a slipped clamp, a digit written down wrong.
MISREAD = 0.05
# Judgement: half of what goes wrong shows nothing at all; the rest may be anything, and "anything" is counted as a
# current known to this spread around the reading. So one reading says 16 dB at most for a current as well known
# as that, 20 dB for the best known there is, 12 dB for one hardly known at all.
ANYTHING_SIGMA = 0.6


class Strip(NamedTuple):
    """The part of the scale that a reading stands for, in amps; ``highest`` may be infinite ("draws").

    ``blur`` is the standard deviation of the error in amps, ``relative`` that of the error in proportion.
    """

    lowest: float
    highest: float
    blur: float = 0.0
    relative: float = 0.0


def chance_of(strip: Strip, means: Array, variances: Array) -> Array:
    """Chance of reading ``strip`` for sums of currents with these means (A) and variances (A^2)."""
    log_medians, sigmas = log_shape(means, variances)
    sigmas = np.maximum(np.hypot(sigmas, strip.relative), _NARROWEST_SIGMA)
    wide = strip.highest - strip.lowest
    if strip.blur <= _SHARP_EDGE * wide or strip.blur == 0.0:
        flowing = _between(strip.lowest, strip.highest, log_medians, sigmas)
    else:
        flowing = _blurred(strip, log_medians, sigmas)
    nothing = _chance_of_nothing(strip)
    chance: Array = np.where(means > 0.0, flowing, nothing)
    return np.clip(chance, 0.0, 1.0)


def weigh(strip: Strip, means: Array, variances: Array, misread: float = MISREAD) -> Array:
    """Natural logarithm of the chance of the reading, allowing that it may simply be wrong."""
    chance = (1.0 - misread) * chance_of(strip, means, variances) + misread * chance_if_misread(strip)
    with np.errstate(divide="ignore"):
        return np.log(chance)


def chance_if_misread(strip: Strip) -> float:
    """Chance of this reading when it has nothing to do with the car."""
    if strip.lowest <= 0.0:
        return 0.5
    if isinf(strip.highest):
        return 0.5
    sigma = np.hypot(np.hypot(ANYTHING_SIGMA, strip.relative), strip.blur / strip.lowest)
    half = log(strip.highest / strip.lowest) / (2.0 * float(sigma))
    return 0.5 * float(area_between(np.array([-half]), np.array([half]))[0])


def _log_or_nothing(amps: float) -> float:
    return log(amps) if amps > 0.0 else -inf


def _between(lowest: float, highest: float, log_medians: Array, sigmas: Array) -> Array:
    with np.errstate(invalid="ignore", over="ignore"):
        low = (_log_or_nothing(lowest) - log_medians) / sigmas
        high = (_log_or_nothing(highest) - log_medians) / sigmas
    area = area_between(np.nan_to_num(low, nan=0.0), np.nan_to_num(high, nan=0.0))
    return area if highest > 0.0 else np.zeros_like(area)


def _chance_of_nothing(strip: Strip) -> float:
    """Chance of the reading where no current flows at all."""
    if strip.blur == 0.0:
        return 1.0 if strip.lowest <= 0.0 <= strip.highest else 0.0
    with np.errstate(over="ignore"):
        ends = np.array([strip.lowest, strip.highest]) / strip.blur
    return float(area_between(ends[:1], ends[1:])[0])


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
        chance += _chance_of_nothing(strip) * _between(0.0, first, log_medians, sigmas)
    if has_plateau:
        chance += _between(*plateau, log_medians, sigmas)
    if open_end:
        chance += _between(last, inf, log_medians, sigmas)

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
