"""How long something goes on at most, and how often it comes by its own clock, as a sheet says it."""

import math

from circuitmap.notation.statements import Lasting, WakesSaid
from circuitmap.quantities import Band
from circuitmap.wiring.parts import WakesEvery


def lasting_band(said: Lasting) -> Band:
    """The minutes; endless where it was said that there is no limit."""
    return said.time.band if said.time is not None else Band(math.inf, math.inf)


def waking_of(said: WakesSaid | None) -> WakesEvery | None:
    """`every 60min for 90s` in minutes."""
    return WakesEvery(said.every.band, said.lasts.band) if said is not None else None
