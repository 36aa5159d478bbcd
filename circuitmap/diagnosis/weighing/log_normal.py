"""Currents as log-normal spreads: how they add up, and how a median and a spread become moments.

The current of a part that is awake is known to within a factor, not to within some milliamps, and is never negative: a
log-normal says both. Sums are matched by their first two moments (Fenton and Wilkinson; L. F. Fenton, IRE Transactions
on Communications Systems 8, 1960, 57-67).
"""

from math import exp, expm1, log1p, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Spread(NamedTuple):
    """A current in amps: its median, and the standard deviation of its natural logarithm."""

    median: float
    sigma: float

    @property
    def mean(self) -> float:
        return self.median * exp(self.sigma**2 / 2.0)

    @property
    def variance(self) -> float:
        return self.mean**2 * expm1(self.sigma**2)


def spread_of_moments(mean: float, variance: float) -> Spread:
    """The log-normal with this mean and variance."""
    sigma_squared = log1p(variance / mean**2)
    return Spread(mean * exp(-sigma_squared / 2.0), sqrt(sigma_squared))


def log_shape(means: Array, variances: Array) -> tuple[Array, Array]:
    """Medians (as logarithms) and sigmas of many sums at once; a mean of 0 gives a log median of -inf."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        ratio = np.where(means > 0.0, variances / np.square(means), 0.0)
        sigma_squared = np.log1p(np.minimum(ratio, 1e12))
        return np.log(means) - sigma_squared / 2.0, np.sqrt(sigma_squared)


_NEVER, _FAR = 1e-12, 40.0
_NARROWEST = 0.02
"""No sum is known better than so much of itself (judgement)."""


def density(amps: float, means: Array, variances: Array) -> Array:
    """How likely each of many sums is just so much, per A, never quite 0."""
    medians, sigmas = log_shape(means, np.maximum(variances, (_NARROWEST * means) ** 2))
    with np.errstate(divide="ignore", invalid="ignore"):
        away = np.clip(np.nan_to_num((np.log(amps) - medians) / sigmas, nan=np.inf), -_FAR, _FAR)
        return np.asarray(np.exp(-np.square(away) / 2.0) / (amps * np.maximum(sigmas, _NARROWEST)) + _NEVER)
