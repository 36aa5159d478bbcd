"""What goes on for some minutes only, by a sheet, once all has stood as it is for so long."""

from collections.abc import Iterable
from math import isinf

from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.quantities import Band


def still_on(lasts: Band | None, stood: float) -> int:
    """How surely what began when all came to stand so still goes on: `lasts` minutes at most, None or endless where
    there is no limit, and it has `stood` so for minutes."""
    if lasts is None or isinf(lasts.low) or stood < lasts.low or stood == 0.0:
        return YES
    return NO if lasts.high <= stood else MAY_BE


def in_steps(stood: float, all_lasting: Iterable[Band]) -> float:
    """The same, as far as it makes a difference to what lasts: so that a minute more is no other vehicle."""
    return max((end for its in all_lasting for end in its if end <= stood), default=0.0)
