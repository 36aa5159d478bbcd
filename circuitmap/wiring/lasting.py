"""How long something goes on at most, as a sheet says it."""

import math

from circuitmap.notation.statements import Lasting
from circuitmap.quantities import Band


def lasting_band(said: Lasting) -> Band:
    """The minutes; endless where it was said that there is no limit."""
    return said.time.band if said.time is not None else Band(math.inf, math.inf)
