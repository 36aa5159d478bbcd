"""How much can it hold? Ampere-hours from the label, reserve minutes, age and cold."""

from itertools import pairwise

from circuitmap.battery.charge import Chemistry
from circuitmap.quantities import Band

RESERVE_AMPS = 25.0
"""Reserve capacity is minutes at 25 A, 27 C, down to 10.5 V (seen: makers' rating texts, wording of SAE J537)."""

RATED_HOURS = 20.0

PEUKERT: dict[Chemistry, Band] = {
    "flooded": Band(1.2, 1.6),
    "agm": Band(1.05, 1.15),
    "gel": Band(1.1, 1.25),
    "lithium": Band(1.0, 1.05),  # memory
}
"""Exponents by type (seen, but for lithium). They hold near the currents at which they were measured: at parked
currents, far below the 20-hour rate, the capacity is taken as the 20-hour capacity and never as more."""

WORN_FACTOR = 0.7
"""Of the rated capacity when older than five years or flattened more than twice (common practice, no source)."""

# The part of the rated capacity that is available in the cold (seen, weak): about 80 % at 0 C, 40 to 50 % at -18 C.
COLD: tuple[tuple[float, Band], ...] = ((-18.0, Band(0.40, 0.50)), (0.0, Band(0.80, 0.80)), (27.0, Band(1.0, 1.0)))


def rated_from_reserve(minutes: float, chemistry: Chemistry) -> Band:
    """The 20-hour capacity, Ah, that a reserve capacity stands for, over the range of exponents of its type."""
    at_ends = [rated_at_exponent(minutes, exponent) for exponent in PEUKERT[chemistry]]
    return Band(min(at_ends), max(at_ends))


def rated_at_exponent(minutes: float, exponent: float) -> float:
    """The 20-hour capacity, Ah, of a battery with this reserve and this Peukert exponent."""
    return float(RATED_HOURS * (RESERVE_AMPS**exponent * (minutes / 60.0) / RATED_HOURS) ** (1.0 / exponent))


def cold_factor(celsius: float) -> Band:
    """The part of the rated capacity that is available at this temperature; never more than all of it."""
    if celsius <= COLD[0][0]:
        return COLD[0][1]
    for (low_t, low), (high_t, high) in pairwise(COLD):
        if celsius <= high_t:
            share = (celsius - low_t) / (high_t - low_t)
            return Band(low.low + share * (high.low - low.low), low.high + share * (high.high - low.high))
    return COLD[-1][1]
