"""What a try may show: back to normal, down, or no change.

The reading before is the sum of what goes and what stays; how it divides is known only to within a factor. With both
parts log-normal, the logarithm of stays : goes is normal.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.bell_curve import cdf
from circuitmap.diagnosis.weighing.log_normal import log_shape
from circuitmap.diagnosis.weighing.sightings import Outcome

Array = NDArray[np.float64]

OUTCOMES = ("normal", "down", "stays")
# What flows may wander by so much of itself between two readings (judgement).
WANDERS = 0.04
# A fall that counts is more than that, and at least three display steps: of two faults the smaller may take little.
LEAST_FALL = 0.05
# In words, or while the vehicle falls asleep, it is a fifth: nobody says of less that it changed.
LEAST_FALL_SAID = 0.20
LEAST_STEPS = 3.0
_ZEROS = tuple(n / 2.0 for n in range(-6, 7))
"""In standard deviations: a meter's zero is off by no more."""


def outcome_of(was: float, now: float, normal_up_to: float, step: float, share: float = LEAST_FALL) -> str:
    """The name of the outcome that was seen."""
    if was - now < least_fall(was, step, share):
        return "stays"
    return "normal" if now <= normal_up_to else "down"


def least_fall(was: float, step: float, share: float = LEAST_FALL) -> float:
    """The smallest drop in A that counts as a fall."""
    return max(share * was, LEAST_STEPS * step)


class AtZero(NamedTuple):
    """What was seen in a try if the meter's zero was off by so much: the true currents, how common such a zero is, and
    whether it can be (no current is less than nothing)."""

    outcome: Outcome
    common: float
    can_be: bool


def at_each_zero(setting: Outcome) -> list[AtZero]:
    """How much went is known although the zero is not: it is in both readings. How much there was, and is left, is
    known only for each zero that the meter may have."""
    if setting.zero <= 0.0 or setting.in_words:
        return [AtZero(setting, 1.0, can_be=True)]
    found = []
    for deviations in _ZEROS:
        zero = deviations * setting.zero
        was, now = setting.was - zero, setting.now - zero
        if was > 0.0:
            up_to = setting.normal_up_to - setting.zero
            at = setting._replace(was=was, now=now, normal_up_to=up_to, zero=0.0)
            common = float(np.exp(-(deviations**2) / 2.0))
            found.append(AtZero(at, common, can_be=now >= -setting.off))
    return found


def chance_of_what_is_left(staying: tuple[Array, Array], going: tuple[Array, Array], setting: Outcome) -> Array:
    """Chance of just what was read: anything that is normal, no change as far as the meters tell, or this amount.

    Where only words were said, they stand for all amounts that they can mean. The same slip may show anything between
    nothing and what there was."""
    if setting.in_words:
        return chances_of_outcomes(staying, going, setting)[OUTCOMES.index(setting.name)]
    was = max(setting.was, 1e-9)
    wide = max(setting.off, WANDERS * was)
    # What rose did not fall: a count more than before says "no change" as well as a count less.
    low, high = min(setting.now, was) - wide, setting.now + wide
    if setting.now <= setting.normal_up_to:
        # Of what is normal all is alike; but at least half of what was seen to go went.
        low, high = -np.inf, max(high, min(setting.normal_up_to, (setting.was + setting.now) / 2.0))
    log_stays, sigma_stays = log_shape(*staying)
    log_goes, sigma_goes = log_shape(*going)
    sigma = np.maximum(np.hypot(sigma_stays, sigma_goes), wide / was)
    ends = [_log_odds(min(max(end / was, 1e-9), 1.0 - 1e-9)) for end in (low, high)]
    with np.errstate(invalid="ignore"):
        middle = log_stays - log_goes
        above = (ends[1] - middle) / sigma if high < was else np.full_like(middle, np.inf)
        inside = cdf(np.nan_to_num(above, nan=np.inf)) - cdf((ends[0] - middle) / sigma)
    # Without anything that goes the meter shows what it showed, without anything that stays nothing.
    same, none = (float(np.diff(cdf((np.array([low, high]) - amps) / wide))[0]) for amps in (was, 0.0))
    inside = np.where(going[0] <= 0.0, same, np.where(staying[0] <= 0.0, none, inside))
    slip = setting.slip / 3.0
    by_slip = slip if setting.name != "down" else slip * min((high - low) / was, 1.0)
    return np.asarray((1.0 - setting.slip) * np.maximum(inside, 0.0) + by_slip)


def chances_of_outcomes(
    staying: tuple[Array, Array], going: tuple[Array, Array], setting: Outcome
) -> tuple[Array, Array, Array]:
    """Chances of normal, down and no change, from mean and variance of what stays and of what goes."""
    log_stays, sigma_stays = log_shape(*staying)
    log_goes, sigma_goes = log_shape(*going)
    sigma = np.maximum(np.hypot(sigma_stays, sigma_goes), 0.05)
    with np.errstate(invalid="ignore"):
        middle = log_stays - log_goes
    was = max(setting.was, 1e-9)
    share = LEAST_FALL_SAID if setting.in_words else LEAST_FALL
    fall = min(least_fall(was, setting.step, share) / was, 1.0 - 1e-9)
    at_most = min(max(setting.normal_up_to / was, 1e-9), 1.0 - fall)
    with np.errstate(invalid="ignore"):
        no_change = 1.0 - cdf((_log_odds(1.0 - fall) - middle) / sigma)
        normal = cdf((_log_odds(at_most) - middle) / sigma)
    nothing_goes, nothing_stays = going[0] <= 0.0, staying[0] <= 0.0
    no_change = np.where(nothing_goes, 1.0, np.where(nothing_stays, 0.0, no_change))
    normal = np.where(nothing_goes, 0.0, np.where(nothing_stays, 1.0, normal))
    down = np.maximum(1.0 - no_change - normal, 0.0)
    slip = setting.slip / 3.0
    keeps = 1.0 - setting.slip
    return keeps * normal + slip, keeps * down + slip, keeps * no_change + slip


def _log_odds(share: float) -> float:
    return float(np.log(share) - np.log1p(-share))
