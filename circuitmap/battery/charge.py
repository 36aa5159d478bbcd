"""How full is the battery? Volts at rest to state of charge, where volts say anything."""

from itertools import pairwise
from typing import Literal

from circuitmap.quantities import Band

Chemistry = Literal["flooded", "agm", "gel", "lithium"]
CHEMISTRIES: tuple[Chemistry, ...] = ("flooded", "agm", "gel", "lithium")

# Open-circuit volts at 26.7 C, rested: a published state-of-charge table giving BCI as its source (seen).
FLOODED: tuple[tuple[float, float], ...] = ((11.89, 0.0), (12.06, 0.25), (12.24, 0.50), (12.45, 0.75), (12.65, 1.0))

# AGM bands (seen): each pair is the band of volts and the band of charge it stands for.
AGM: tuple[tuple[Band, Band], ...] = (
    (Band(12.0, 12.3), Band(0.25, 0.50)),
    (Band(12.3, 12.6), Band(0.50, 0.75)),
    (Band(12.6, 12.8), Band(0.75, 1.0)),
    (Band(12.8, 13.2), Band(1.0, 1.0)),
)


def state_of_charge(volts: float, chemistry: Chemistry) -> Band | None:
    """Charge (0 to 1) of one 12 V battery from its volts at rest, as a band; None where volts say nothing.

    For a flooded battery the charge is interpolated in the table; a gel battery has no table here, and a lithium
    battery's volts say nothing.
    """
    if chemistry == "flooded":
        charge = _between(volts, FLOODED)
        return Band(charge, charge)
    if chemistry == "agm":
        if volts < AGM[0][0].low:
            return Band(0.0, AGM[0][1].low)
        for band, charge_band in AGM:
            if volts < band.high:
                return charge_band
        return Band(1.0, 1.0)
    return None


def _between(volts: float, table: tuple[tuple[float, float], ...]) -> float:
    if volts <= table[0][0]:
        return table[0][1]
    for (low_volts, low), (high_volts, high) in pairwise(table):
        if volts <= high_volts:
            return low + (high - low) * (volts - low_volts) / (high_volts - low_volts)
    return table[-1][1]
