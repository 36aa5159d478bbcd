"""Is it enough? What the night says of the time to flat, by the battery's arithmetic."""

from typing import NamedTuple

from circuitmap.battery.parked_time import ParkedBattery, Usable, hours_to_no_start, usable_charge
from circuitmap.quantities import Band
from circuitmap.recording.night import Night
from circuitmap.recording.zero import ClampZero


class TimeToFlat(NamedTuple):
    """The draw, A, that was reckoned with, as wide as the zero's error, and the hours at it. `at_end`: it is what still
    flowed when the log ended, not the mean."""

    usable: Usable
    draw: Band
    hours: Band | None
    at_end: bool


def time_to_flat(night: Night, zero: ClampZero, battery: ParkedBattery) -> TimeToFlat | None:
    """None where the battery's size is not known, or the log says nothing of a mean."""
    usable = usable_charge(battery)
    if usable is None:
        return None
    draw = draw_of(night, zero)
    if draw is None:
        return None
    return TimeToFlat(usable, draw, hours_to_no_start(usable, draw), bool(night.still_on))


def draw_of(night: Night, zero: ClampZero) -> Band | None:
    """What flows from now on, A: the mean; but what came on and stayed on does not come and go any more."""
    if night.mean is None:
        return None
    shown = night.mean
    if night.still_on:
        end = night.levels[-1].amps
        shown = Band(end, end)
    return Band(max(0.0, shown.low - zero.amps - zero.error), max(0.0, shown.high - zero.amps + zero.error))
