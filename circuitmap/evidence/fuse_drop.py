"""From the millivolts across a fuse to the current through it, with nothing unplugged.

Typical cold resistances, milliohms: Littelfuse data sheets 287 ATOF (revisions 2022-08-18, 2025-02-04), 297 MINI
(2024-09-27; 3 to 5 A from an older one), 299 MAXI (2025-01-06), 32 V, column "Typ. cold resistance"; copied
from transcriptions of the sheets, not from the sheets ("copy"). Two published charts agree: 7.69 on a regular
10 A, 4.59 on a mini 15 A (MACS Service Reports, June 2017; mvwautotechniek.nl, "Voltage drop over fuses": seen).
"""

from collections.abc import Mapping
from typing import Literal, NamedTuple

Mark = Literal["seen", "copy", "memory", "derived", "practice"]

PUBLISHED: Mapping[str, Mapping[float, float]] = {
    "regular": {3: 31.1, 5: 17.85, 7.5: 10.91, 10: 7.70, 15: 4.80, 20: 3.38, 25: 2.52, 30: 1.97, 40: 1.44},
    "mini": {3: 33.75, 4: 23.48, 5: 17.75, 7.5: 10.85, 10: 7.42, 15: 4.58, 25: 2.36},
    "maxi": {30: 1.9, 35: 1.7, 40: 1.4, 50: 1.1},
}

# R = k I^b fitted to the rows above (derived), and the worst residual. Never a data sheet value.
ESTIMATES: Mapping[str, tuple[float, float, float]] = {
    "regular": (120.7, -1.200, 0.039),
    "mini": (133.3, -1.250, 0.015),
    "maxi": (82.2, -1.101, 0.036),
}
RATINGS: Mapping[str, tuple[float, float]] = {"regular": (1, 40), "mini": (2, 30), "maxi": (20, 80)}

# Make to make 10..15 % (practice).
MAKE_TO_MAKE = 0.12

# A fuse of which no style is typed may be none of the three (judgement).
NO_BLADE = 0.10

# A fuse of any other make: the rule of the regular blades carried on, 30 to 70 mV at the rated current (from memory),
# right within a factor of two (judgement).
BY_RATING = 0.45

# The smallest fuse in cars, in A (common practice, no source).
SMALLEST = 2.0

# No test points to probe (practice): clamp the wire instead.
NO_TEST_POINTS = ("cartridge", "bolted", "low", "maxi")


class ColdResistance(NamedTuple):
    """Milliohms of a cold fuse element; `relative` its standard deviation in proportion."""

    milliohms: float
    relative: float
    mark: Mark

    @property
    def is_estimate(self) -> bool:
        return self.mark in ("derived", "memory")

    @property
    def is_rough(self) -> bool:
        """Whether it is known by the rating alone, within a factor of two."""
        return self.mark == "memory"


def cold_resistance(style: str, rating: float | None) -> ColdResistance | None:
    """The cold resistance of a fuse; None where no value is known; then a drop says only that current flows."""
    if rating is None or style not in PUBLISHED:
        return None
    published = PUBLISHED[style].get(rating)
    if published is not None:
        return ColdResistance(published, MAKE_TO_MAKE, "copy")
    lowest, highest = RATINGS[style]
    if not lowest <= rating <= highest:
        return None
    factor, power, residual = ESTIMATES[style]
    return ColdResistance(factor * rating**power, (MAKE_TO_MAKE**2 + residual**2) ** 0.5, "derived")


def of_any_style(rating: float | None) -> ColdResistance | None:
    """The cold resistance of a blade fuse of which only the rating is known: the middle of what its styles have; None
    where fewer than two of them are made so."""
    its = [known for style in PUBLISHED if (known := cold_resistance(style, rating)) is not None]
    if len(its) < 2:
        return None
    low, high = min(one.milliohms for one in its), max(one.milliohms for one in its)
    middle = (low * high) ** 0.5
    spread = high / middle - 1.0
    worst = max(one.relative for one in its)
    return ColdResistance(middle, (worst**2 + spread**2 + NO_BLADE**2) ** 0.5, "derived")


def by_rating_alone(rating: float | None) -> ColdResistance | None:
    """The cold resistance of a fuse of which nothing is published, such as a bolted one, within a factor of two; None
    where no rating is typed."""
    if not rating:
        return None
    factor, power, _ = ESTIMATES["regular"]
    return ColdResistance(factor * rating**power, BY_RATING, "memory")


def of_smallest() -> ColdResistance:
    """The most that a fuse of which nobody typed the rating may have."""
    factor, power, _ = ESTIMATES["regular"]
    return ColdResistance(factor * SMALLEST**power, BY_RATING, "memory")


def amps_through(volts: float, resistance: ColdResistance) -> float:
    """Current in A for a drop in V; keeps the sign, which is the direction."""
    return volts * 1000.0 / resistance.milliohms


def hidden_below(resistance: ColdResistance, step: float = 0.0001, counts: float = 2.0) -> float:
    """The current in A that a display of zero may hide, for a display step in V."""
    return amps_through(counts * step, resistance)


def millivolts_at(amps: float, resistance: ColdResistance) -> float:
    """The drop in mV that a current gives."""
    return amps * resistance.milliohms
