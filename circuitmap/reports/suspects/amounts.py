"""Currents in words: in amps, or in milliamps where they are small and were read so."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.readings import Reading

FINE_STEP, SMALL = 0.005, 0.0995
"""In A: a meter with a display step below the first is read in milliamps; a current below the second is told in
them."""


def is_fine(reading: Reading) -> bool:
    """Whether a reading was taken in milliamps."""
    return reading.resistance is None and reading.meter.step < FINE_STEP


def total_is_fine(diagnosis: Diagnosis) -> bool:
    """Whether the total is small and was read in milliamps, so that everything else is told in them, too."""
    totals = diagnosis.netted.totals
    return any(is_fine(reading) for reading in totals) and sum(reading.amps or 0.0 for reading in totals) < SMALL


def ampere(amps: float | None, fine: bool = False) -> str:
    """Amps with two digits after the point, as written at the car; a small current that was read in milliamps is told
    in these."""
    if amps is None:
        return "something"
    return f"{figure(amps, fine)} {'mA' if fine and abs(amps) < SMALL else 'A'}"


def amperes_between(low: float, high: float, fine: bool = False) -> str:
    """A range, with its unit at both ends where they are told in different ones."""
    both = fine and abs(low) < SMALL <= abs(high)
    return f"{ampere(low, fine) if both else figure(low, fine)} to {ampere(high, fine)}"


def figure(amps: float, fine: bool = False) -> str:
    """The same without its unit."""
    if fine and abs(amps) < SMALL:
        milliamps = round(amps * 1000.0, 1 if abs(amps) < 0.00995 else 0)
        return f"{milliamps + 0.0:g}"
    return f"{amps:.1f}" if abs(amps) >= 9.95 else f"{amps:.2f}"
