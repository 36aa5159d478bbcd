"""Currents in words: in amps, or in milliamps where they are small and were read so."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.readings import Reading

FINE_STEP, SMALL = 0.005, 0.0995
"""A: below the first display step a meter is read in milliamps; below the second a current is told in them."""


def is_fine(reading: Reading) -> bool:
    """Whether a reading was taken in milliamps."""
    return reading.resistance is None and reading.meter.step < FINE_STEP


def total_is_fine(diagnosis: Diagnosis) -> bool:
    """Whether the total is small and was read in milliamps, so that all else is told so, too."""
    totals = diagnosis.netted.totals
    return any(is_fine(reading) for reading in totals) and sum(reading.amps or 0.0 for reading in totals) < SMALL


def ampere(amps: float | None, fine: bool = False) -> str:
    """Amps with two digits behind the point, as they are written at the car; of a small current that was read in
    milliamps these."""
    if amps is None:
        return "something"
    return f"{figure(amps, fine)} {'mA' if fine and abs(amps) < SMALL else 'A'}"


def figure(amps: float, fine: bool = False) -> str:
    """The same without its unit."""
    if fine and abs(amps) < SMALL:
        milliamps = round(amps * 1000.0, 1 if abs(amps) < 0.00995 else 0)
        return f"{milliamps + 0.0:g}"
    return f"{amps:.1f}" if abs(amps) >= 9.95 else f"{amps:.2f}"
