"""The battery's arithmetic as sentences: how long it stands, and whether the draw is enough for the complaint."""

from collections.abc import Iterator
from dataclasses import replace
from math import isinf

from circuitmap.battery.parked_time import (
    PARKED_CHARGE,
    Enough,
    Usable,
    draw_that_explains,
    enough_for,
    hours_to_no_start,
    usable_charge,
)
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.intake import Intake
from circuitmap.quantities import Band

_ENOUGH_WORDS = {
    Enough.TOO_LITTLE: "too little for it: look at the battery, at how the car is used, or for a draw "
    "that comes and goes",
    Enough.ENOUGH: "enough for it",
    Enough.MORE_THAN_ENOUGH: "more than enough: at this draw it would be flat sooner",
}


def battery_sentences(intake: Intake, total: Reading | None, night: Reading | None = None) -> Iterator[str]:
    """Time to no-start at the measured draw, the draw that would explain the complaint, and what was assumed; with
    `night`, the log after mending, also how long the car can stand now."""
    usable = usable_charge(intake.battery)
    if usable is None:
        yield "The battery's size is not known (battery: 72Ah, or RC 120min, on the card): no time to flat."
        return
    draw = mean_draw(total)
    if draw is not None:
        hours = hours_to_no_start(usable, draw)
        if hours is not None:
            yield f"At {_amps(draw)} it no longer starts after {time_words(hours)}."
    yield from _mended(intake, mean_draw(night))
    if intake.flat_after is not None:
        yield from _complaint(usable, intake.flat_after, draw)
    if intake.rating_from_sheet:
        yield "The capacity is that of the sheet, not read off this car's battery."
    yield f"Assumed: {'; '.join(usable.assumed)}. No self-discharge counted."


def _mended(intake: Intake, now: Band | None) -> Iterator[str]:
    """How long the car can stand now, with a battery charged as vehicles are when parked, not with what was left when
    it came in."""
    came_with = intake.battery.charge
    usable = usable_charge(replace(intake.battery, charge=PARKED_CHARGE))
    if usable is None or now is None or now.high <= 0.0:
        return
    if came_with is not None and came_with.high < PARKED_CHARGE.low:
        yield f"Charge it before it goes home: it came in about {came_with.high:.0%} full, by its volts."
    stands = usable.ampere_hours.low / now.high
    yield (
        f"Mended, and parked with the battery charged (at least {PARKED_CHARGE.low:.0%}), it stands for "
        f"{time_words(Band(stands, stands))} at the least."
    )


def _complaint(usable: Usable, complained: Band, draw: Band | None) -> Iterator[str]:
    needed = draw_that_explains(usable, complained)
    if needed.high <= 0.0:
        yield (
            "By the volts written down the battery is too empty to start. Parked so, it needs no draw to fail; if they "
            "are those of the flat battery, they say nothing of the draw: charge it, and write down its volts at rest."
        )
        return
    takes = _amps(needed) if needed.low >= 0.005 else f"up to {needed.high:.2f} A"
    words = f"To go flat in {time_words(complained)} takes a mean draw of {takes}"
    if draw is not None:
        words += f"; the draw measured is {_ENOUGH_WORDS[enough_for(usable, draw, complained)]}"
    yield f"{words}."


def mean_draw(total: Reading | None) -> Band | None:
    """The mean draw in A as a band as wide as the meter's error; for a log, its mean."""
    if total is None:
        return None
    amps = total.log.mean if total.log is not None else total.amps
    if amps is None:
        return None
    error = total.half_step + 2.0 * total.zero
    return Band(max(0.0, amps - error), max(0.0, amps + error))


def time_words(hours: Band) -> str:
    """`about 2 days`, `9 to 15 hours`, `at most 1.8 hours`, `15 days or more`, `more than 3 months`."""
    if hours.low > 24 * 90:
        return "more than 3 months"
    if hours.high < 1.0:
        return "less than an hour"
    unit, factor = ("hours", 1.0) if hours.high < 48 else ("days", 24.0)
    low, high = hours.low / factor, min(hours.high, 24 * 365.0) / factor
    if hours.low <= 0.0:
        return f"at most {float(f'{high:.2g}'):g} {unit}"
    if isinf(hours.high):
        return f"{float(f'{low:.2g}'):g} {unit} or more"
    if f"{low:.2g}" == f"{high:.2g}":
        return f"about {float(f'{low:.2g}'):g} {unit}"
    return f"{float(f'{low:.2g}'):g} to {float(f'{high:.2g}'):g} {unit}"


def _amps(band: Band) -> str:
    low, high = f"{band.low:.2f}", f"{band.high:.2f}"
    return f"{low} A" if low == high else f"{low} to {high} A"
