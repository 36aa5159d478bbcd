"""A reading behind which others were taken: weighed for each way in which explanations take those off it."""

from collections.abc import Hashable, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.log_normal import log_shape
from circuitmap.diagnosis.weighing.reading_chance import (
    Asked,
    Strip,
    chances_each_blurred,
    chances_of_blurred,
    or_misread,
    weigh_each,
)
from circuitmap.diagnosis.weighing.sightings import CurrentSighting
from circuitmap.diagnosis.weighing.ways import WaysTouched

Array = NDArray[np.float64]

TAKES_LESS, LESS, LESS_SPREAD = 0.10, 0.25, 1.0
"""In one car of ten all that sleeps takes together far less than the sheets make it: about such a share, known to such
a spread of its logarithm. What is printed is typical, and some of it is not fitted or sleeps deeper (judgement). It
counts where less is left beside the branches than should flow: the whole draw was found there, and that is no slip."""


def no_less_with_more(log_chances: Array, strip: Strip, sighting: CurrentSighting[Hashable]) -> Array:
    """Log chances of a reading, the first of them that of a healthy car. Where less was read than that draws, no
    current more makes the reading likelier: a wide spread, taken for a sum, would."""
    if strip.highest >= sighting.healthy(0)[0]:
        return log_chances
    return np.asarray(np.minimum(log_chances, log_chances.reshape(-1)[0]))


def no_likelier_with_another(
    log_chances: Array, ways: WaysTouched, sighting: CurrentSighting[Hashable], zeros: Sequence[float | None]
) -> Array:
    """Log chances of a reading for each zero and pairs of ways (the last two axes), where a second fault only adds
    current: of a way that by itself brings more than was read, or where nothing was read, another one makes the reading
    no likelier. A spread as wide as that of something unknown, added up by its moments, would."""
    taken = ways.taken.tolist()
    beside = np.array([sighting.healthy(its) for its in taken])
    log_medians, sigmas = log_shape(ways.mean + beside[:, 0], ways.variance + beside[:, 1])
    known = {(its, zero): sighting.without(its, zero) for its in set(taken) for zero in zeros}
    strips = np.array([[known[its, zero][:2] for its in taken] for zero in zeros])
    lowest, highest = strips[..., 0], strips[..., 1]
    enough = np.isfinite(highest) & ((lowest <= 0.0) | (highest <= np.exp(log_medians - np.square(sigmas))))
    together = ways.taken[:, None] | ways.taken
    alone = np.where(enough[..., None] & (together == ways.taken[:, None]), log_chances[..., :1], np.inf)
    alone = np.minimum(alone, np.where(enough[:, :1, None] & (together == 0), log_chances[..., :1, :1], np.inf))
    return np.asarray(np.minimum(log_chances, np.minimum(alone, np.swapaxes(alone, -1, -2))))


def or_otherwise(log_chances: Array, ways: WaysTouched) -> Array:
    """Log chances of a reading for pairs of ways (the last two axes), where a branch may have been misread, and where
    each may be nothing at all: then the rest of the way is left."""
    if not (ways.nothing.any() or ways.slip.any()):
        return log_chances
    chances = np.exp(log_chances)
    if ways.slip.any():
        slip = _slips_of_pairs(ways)
        chances = (1.0 - slip) * chances + slip * chances[..., ways.instead, :]
        chances = (1.0 - slip.T) * chances + slip.T * chances[..., ways.instead]
    its = ways.nothing[:, None]
    one = (1.0 - its) * chances + its * chances[..., ways.then, :]
    return np.asarray(np.log((1.0 - ways.nothing) * one + ways.nothing * one[..., ways.then]))


def _slips_of_pairs(ways: WaysTouched) -> Array:
    """The chance that the branch which the first way may slip at was misread, if the second is there as well: what the
    second brings there may be what was read."""
    branch = ways.taken & ~ways.taken[ways.instead]
    passes = (ways.taken & branch[:, None]) != 0
    both = np.where(branch[:, None] == branch, np.minimum(ways.slip[:, None], ways.slip), 0.0)
    return np.where(passes, both, ways.slip[:, None])


def weighed_alone(sighting: CurrentSighting[Hashable], ways: WaysTouched) -> Array:
    """Log chances for each way by itself, as if the meter's zero were the reading's own."""
    chances = np.exp(_weighed(sighting, ways.mean, ways.variance, ways.taken, (None,))[0])
    chances = (1.0 - ways.slip) * chances + ways.slip * chances[ways.instead]
    return np.asarray(np.log((1.0 - ways.nothing) * chances + ways.nothing * chances[ways.then]))


def weighed_with_branches(
    sighting: CurrentSighting[Hashable], ways: WaysTouched, zeros: Sequence[float | None]
) -> NDArray[np.float64]:
    """Log chances for each zero of the meter (None: not known) and each pair of ways."""
    size = len(ways.mean)
    upper = np.triu_indices(size)
    mean, variance = (moments[upper] for moments in ways.united())
    found = _weighed(sighting, mean, variance, (ways.taken[:, None] | ways.taken)[upper], zeros)
    every = np.empty((len(zeros), size, size))
    every[:, upper[0], upper[1]] = found
    every[:, upper[1], upper[0]] = found
    return or_otherwise(no_likelier_with_another(every, ways, sighting, zeros), ways)


def _weighed(
    sighting: CurrentSighting[Hashable],
    mean: Array,
    variance: Array,
    taken: NDArray[np.intp],
    zeros: Sequence[float | None],
) -> Array:
    """Log chances for each zero and each sum, the first of which leaves everything alone; `taken` are the branches that
    are taken off it."""
    found = np.empty((len(zeros), len(taken)))
    none = np.flatnonzero(taken == 0)
    healthy_mean, healthy_variance = sighting.healthy(0)
    rest = (mean[none] + healthy_mean, variance[none] + healthy_variance)
    strips = [sighting.without(0, zero) for zero in zeros]
    weighed = weigh_each([Asked(s, *rest, sighting.misread, sighting.strip, sighting.elsewhere) for s in strips])
    found[:, none] = [no_less_with_more(c, s, sighting) for c, s in zip(weighed, strips, strict=True)]
    off = np.flatnonzero(taken)
    if len(off):
        chances = _with_branches_off(sighting, mean[off], variance[off], taken[off], zeros)
        # That the reading has nothing to do with the car is as likely whatever is taken off it.
        found[:, off] = or_misread(chances, sighting.misread, sighting.by_slip)
    return found


def _with_branches_off(
    sighting: CurrentSighting[Hashable],
    mean: Array,
    variance: Array,
    taken: NDArray[np.intp],
    zeros: Sequence[float | None],
) -> Array:
    """Chances for each zero and each sum, with what is taken off it."""
    kinds, which = np.unique(taken, return_inverse=True)
    beside = np.array([sighting.healthy(each) for each in kinds.tolist()])[which]
    means, variances = mean + beside[:, 0], variance + beside[:, 1]
    strips = [[sighting.without(each, zero) for zero in zeros] for each in kinds.tolist()]
    chances = _of_each_kind(strips, which, means, variances)
    short = np.array([sighting.without(each).highest < sighting.healthy(each)[0] for each in kinds.tolist()])[which]
    if short.any():
        less = LESS * np.exp(LESS_SPREAD**2 / 2.0) * beside[short, 0]
        spread = np.expm1(LESS_SPREAD**2) * less**2
        chances[:, short] += TAKES_LESS * _of_each_kind(
            strips, which[short], mean[short] + less, variance[short] + spread
        )
    return chances


def _of_each_kind(strips: Sequence[Sequence[Strip]], which: NDArray[np.intp], means: Array, variances: Array) -> Array:
    """Chances for each zero and each sum; `strips` are those of each way to take branches off, by zero, and `which` is
    the number of the way of each sum."""
    if len(strips[0]) == 1:
        return chances_each_blurred([its for [its] in strips], which, means, variances)[None]
    chances = np.empty((len(strips[0]), len(which)))
    for number, own in enumerate(strips):
        its = np.flatnonzero(which == number)
        if len(its):
            chances[:, its] = chances_of_blurred(own, means[its], variances[its])
    return chances
