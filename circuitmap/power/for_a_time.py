"""What goes on for some minutes only, by a sheet, once all has stood as it is for so long."""

from math import isinf

from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.quantities import Band


def still_on(lasts: Band | None, stood: Band) -> int:
    """How surely what began when all came to stand so still goes on: `lasts` minutes at most, None or endless where
    there is no limit, and it has `stood` so for minutes."""
    if lasts is None or isinf(lasts.low) or lasts.low > stood.high or stood.high == 0.0:
        return YES
    return NO if lasts.high <= stood.low else MAY_BE


def in_steps(stood: Band, all_lasting: frozenset[Band]) -> Band:
    """The same, as far as it makes a difference to what lasts: so that a minute more is no other vehicle."""
    ends = sorted({0.0, *(end for its in all_lasting for end in its)})
    return Band(max(end for end in ends if end <= stood.low), max(end for end in ends if end <= stood.high))
