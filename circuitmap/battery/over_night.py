"""What a fall of the volts at rest over a night stands for: how much of the charge, and which mean draw at the most.

Rough, and meant to be: a battery goes on settling for hours after it was charged or used, and that is counted as if
it had gone out. So a small fall shows that no large draw is there; it never shows a small one.
"""

from itertools import pairwise
from typing import Literal, NamedTuple

from circuitmap.battery.charge import AGM, FLOODED, Chemistry
from circuitmap.battery.parked_time import ParkedBattery, whole_charge
from circuitmap.quantities import Band

LITTLE = 0.1
"""Volts of one 12 V battery that a night may take (common practice, no source)."""


def is_little(volts: float) -> bool:
    """Whether so many volts lost by one 12 V battery are no more than a night may take."""
    return volts <= LITTLE + 1e-9


Night = Literal["held", "fell", "fell-enough", "cannot-tell"]
"""It fell by little, and by less than what the complaint takes; by more than little; by more, and by as much as the
complaint takes; by little, which may yet be as much as the complaint takes."""


class Fell(NamedTuple):
    """`volts` lost by one 12 V battery, never below 0; `share` of its charge at the most, `amps` of mean draw at the
    most: None where no table, or no size, is there."""

    says: Night
    volts: float
    share: float | None
    amps: float | None


def steepest(chemistry: Chemistry) -> float | None:
    """The share of the charge that a volt stands for, where the table of this type is steepest: what a fall stands for
    at the most, wherever on the table it lies. None for a type without a table."""
    if chemistry == "flooded":
        return max((high - low) / (volts - below) for (below, low), (volts, high) in pairwise(FLOODED))
    if chemistry == "agm":  # each band of volts has its band of charge
        return max((charge.high - charge.low) / (volts.high - volts.low) for volts, charge in AGM)
    return None


def fell_over_night(
    before: float, after: float, step: float, hours: float, battery: ParkedBattery, needed: Band | None
) -> Fell | None:
    """What it says that the volts at rest of one 12 V battery fell from `before` to `after`, each read to `step` V.
    `needed` is the mean draw in A that the complaint takes. None where volts say nothing."""
    if battery.chemistry == "lithium":
        return None
    volts = max(0.0, before - after)
    per_volt, whole = steepest(battery.chemistry), whole_charge(battery)
    share = min(1.0, (volts + step) * per_volt) if per_volt is not None else None
    amps = share * whole.high / hours if share is not None and whole is not None else None
    if amps is not None and needed is not None and amps >= needed.low:
        return Fell("cannot-tell" if is_little(volts) else "fell-enough", volts, share, amps)
    return Fell("held" if is_little(volts) else "fell", volts, share, amps)
