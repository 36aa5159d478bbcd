"""How long can a car stand before it no longer starts, and does the draw account for the owner's complaint?

Self-discharge is not counted: published figures disagree, from 5 % a month to 4 % a week, and over the days of a
complaint it is small beside an abnormal draw.
"""

from dataclasses import dataclass, replace
from enum import Enum

from circuitmap.battery.capacity import WORN_FACTOR, cold_factor, rated_from_reserve
from circuitmap.battery.charge import Chemistry
from circuitmap.quantities import Band

PARKED_CHARGE = Band(0.7, 0.9)
"""Charge a car parks with where nobody measured it: about 80 % (common practice, no source; the width is judgement)."""

NO_START_WARM, NO_START_FROST = 0.50, 0.65
"""Charge below which the engine no longer starts (common practice, no source)."""

FROST = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ParkedBattery:
    """What is known of the battery when the car is parked. `rated` Ah at 20 h of the whole bank; `reserve` minutes.

    `worn`: older than five years or flattened more than twice. `celsius` of the battery, None: warm.
    `charge` is the share it parks with, None: not measured.
    """

    rated: Band | None = None
    reserve: float | None = None
    chemistry: Chemistry = "flooded"
    worn: bool = False
    celsius: float | None = None
    charge: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Usable:
    """Ampere-hours between parking and the last start, and what had to be assumed for that."""

    ampere_hours: Band
    assumed: tuple[str, ...]


def usable_charge(battery: ParkedBattery) -> Usable | None:
    """How much may flow out before the engine no longer starts; None if the battery's size is not known."""
    assumed: list[str] = []
    if battery.rated is not None:
        rated = battery.rated
    elif battery.reserve is not None:
        rated = rated_from_reserve(battery.reserve, battery.chemistry)
        assumed.append(f"{rated.low:.0f} to {rated.high:.0f} Ah worked out from {battery.reserve:g} reserve minutes")
    else:
        return None
    if battery.worn:
        assumed.append("three tenths of the capacity lost to age (common practice)")
    worn = WORN_FACTOR if battery.worn else 1.0
    cold = cold_factor(battery.celsius) if battery.celsius is not None else Band(1.0, 1.0)
    frost = battery.celsius is not None and battery.celsius <= FROST
    stop = NO_START_FROST if frost else NO_START_WARM
    assumed.append(f"no start below {stop:.0%} charge{' in frost' if frost else ''} (common practice)")
    charge = battery.charge
    if charge is None:
        charge = PARKED_CHARGE
        assumed.append("parked about 80 % charged, not measured (common practice)")
    low = max(0.0, charge.low - stop) * rated.low * worn * cold.low
    high = max(0.0, charge.high - stop) * rated.high * worn * cold.high
    return Usable(ampere_hours=Band(low, high), assumed=tuple(assumed))


def whole_charge(battery: ParkedBattery) -> Band | None:
    """The ampere-hours that the battery holds when full, as old and as cold as it is; None if its size is not known."""
    full = usable_charge(replace(battery, charge=Band(1.0, 1.0)))
    if full is None:
        return None
    frost = battery.celsius is not None and battery.celsius <= FROST
    share = 1.0 - (NO_START_FROST if frost else NO_START_WARM)
    return Band(full.ampere_hours.low / share, full.ampere_hours.high / share)


def hours_to_no_start(usable: Usable, mean_draw: Band) -> Band | None:
    """Hours from parking to the last start at this mean draw in amperes; None when nothing draws."""
    if mean_draw.high <= 0:
        return None
    longest = usable.ampere_hours.high / mean_draw.low if mean_draw.low > 0 else float("inf")
    return Band(usable.ampere_hours.low / mean_draw.high, longest)


def draw_that_explains(usable: Usable, hours: Band) -> Band:
    """The mean draw in amperes that uses up the charge in the time complained of."""
    return Band(usable.ampere_hours.low / hours.high, usable.ampere_hours.high / hours.low)


class Enough(Enum):
    """Whether the measured draw accounts for the complaint."""

    TOO_LITTLE = "too little"
    NOT_AS_SHOWN = "too little as shown"
    PERHAPS = "perhaps enough"
    ENOUGH = "enough"
    MORE_THAN_ENOUGH = "more than enough"


def enough_for(usable: Usable, mean_draw: Band, complained_hours: Band, shown: float | None = None) -> Enough:
    """Compare the measured draw with the one that would explain the complaint; `PERHAPS` where it may be too little by
    the meter's error, `NOT_AS_SHOWN` where it is too little by what the meter shows, and only its error could make it
    enough."""
    needed = draw_that_explains(usable, complained_hours)
    if mean_draw.high < needed.low:
        return Enough.TOO_LITTLE
    if mean_draw.low > needed.high:
        return Enough.MORE_THAN_ENOUGH
    if mean_draw.low >= needed.low:
        return Enough.ENOUGH
    return Enough.NOT_AS_SHOWN if shown is not None and shown < needed.low else Enough.PERHAPS
