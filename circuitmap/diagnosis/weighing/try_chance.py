"""The chance of what a try showed: of what was on the meter before, so much went and so much was left."""

from collections.abc import Hashable

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.log_normal import density
from circuitmap.diagnosis.weighing.outcomes import at_each_zero, chance_of_what_is_left
from circuitmap.diagnosis.weighing.sightings import TrySighting
from circuitmap.diagnosis.weighing.ways import Columns, joined, ways_of

Array = NDArray[np.float64]

AS_READ = 0.1
"""By how much, as a share of itself, a current of which nothing stays may differ from what was read (judgement)."""


def chances_of_a_try(sighting: TrySighting[Hashable], faults: int) -> tuple[Columns, Array]:
    """The column of each fault, and the chance of what a try showed for each pair of columns."""
    lefts = [sighting.after] if sighting.meanwhile is None else [sighting.after, sighting.meanwhile]
    with_all, *ways_left = (ways_of(its, faults) for its in (sighting.before, *lefts))
    joint, rows = joined([with_all.columns, *(left.columns for left in ways_left)])
    before = tuple(m[np.ix_(rows[:, 0], rows[:, 0])] for m in with_all.united())
    chance = np.zeros((len(rows), len(rows)))
    shares = (1.0,) if sighting.meanwhile is None else (sighting.ended, 1.0 - sighting.ended)
    for n, (left, share) in enumerate(zip(ways_left, shares, strict=True), start=1):
        after = tuple(m[np.ix_(rows[:, n], rows[:, n])] for m in left.united())
        chance += share * _chance_of_try(sighting, before, after)
    return joint, chance


def _chance_of_try(sighting: TrySighting[Hashable], before: tuple[Array, ...], after: tuple[Array, ...]) -> Array:
    """The chance of what a try showed, over all zeros that the meter may have had, each as likely as what was read
    before makes it."""
    zeros = at_each_zero(sighting.outcome)
    asleep = sighting.healthy_mean + sighting.removed_healthy_mean
    asleep_variance = sighting.healthy_variance + sighting.removed_healthy_variance
    flowed = before[0] + asleep, before[1] + asleep_variance
    chance, weight = np.zeros_like(before[0]), np.zeros_like(before[0])
    for at in zeros:
        likely = at.common * (density(at.outcome.was, *flowed) if len(zeros) > 1 else np.ones_like(weight))
        its = sighting._replace(outcome=at.outcome)
        weight += likely
        chance += likely * (_at_one_zero(its, before, after) if at.can_be else at.outcome.slip / 3.0)
    ended = sighting.outcome.ended if sighting.outcome.name != "stays" else 0.0
    return ended + (1.0 - ended) * chance / weight


def _at_one_zero(sighting: TrySighting[Hashable], before: tuple[Array, ...], after: tuple[Array, ...]) -> Array:
    healthy = sighting.healthy_mean + sighting.removed_healthy_mean
    stays, goes = as_was_read(sighting.outcome.was - healthy, (before[0], before[1]), (after[0], after[1]))
    staying = (stays[0] + sighting.healthy_mean, stays[1] + sighting.healthy_variance)
    going = (goes[0] + sighting.removed_healthy_mean, goes[1] + sighting.removed_healthy_variance)
    return chance_of_what_is_left(staying, going, sighting.outcome)


def as_was_read(
    read: float, before: tuple[Array, Array], after: tuple[Array, Array]
) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """Mean and variance of what stays and of what goes of the faults' currents, given what they take with all in, and
    after. Together they were what was `read`, in A beyond what a sound car takes, whatever such faults take elsewhere;
    otherwise each try would be held once more against every fault that does not take the usual amount, as its reading
    was already. How two faults share it is as uncertain as it was."""
    read = max(read, 0.0)
    times = np.divide(read, before[0], out=np.ones_like(before[0]), where=(before[0] > 0.0) & (read > 0.0))
    stays = after[0] * times, after[1] * times**2
    goes = np.maximum(before[0] - after[0], 0.0).round(15) * times, np.maximum(before[1] - after[1], 0.0) * times**2
    sure = np.where(stays[0] > 0.0, goes[1], np.minimum(goes[1], (AS_READ * goes[0]) ** 2))
    return stays, (goes[0], sure)
