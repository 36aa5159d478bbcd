"""How much current a wire may carry.

Source: two chandlers' tables citing 33 CFR 183.425, single conductors with 105 C insulation, outside and inside an
engine space (seen). Vehicles are not boats, and makers size by temperature and run: a verdict is given only where even
the next thicker wire of the table would be too thin.
"""

from typing import NamedTuple

from circuitmap.quantities import cross_section_of_gauge


class Ampacity(NamedTuple):
    """Amperes that a wire of an American gauge may carry."""

    gauge: int
    outside: int
    engine_space: int

    @property
    def cross_section(self) -> float:
        return cross_section_of_gauge(self.gauge)


AMPACITIES: tuple[Ampacity, ...] = (
    Ampacity(18, 20, 17),
    Ampacity(16, 25, 21),
    Ampacity(14, 35, 30),
    Ampacity(12, 45, 38),
    Ampacity(10, 60, 51),
    Ampacity(8, 80, 68),
    Ampacity(6, 120, 102),
    Ampacity(4, 160, 136),
    Ampacity(2, 210, 178),
)
_NOMINAL = 0.01
"""Sizes are rounded in print: within one per cent of a gauge is that gauge (judgement)."""


def most_amperes(cross_section: float) -> int | None:
    """What a wire of so many square millimetres carries at the very most: the value of the thinnest wire in the table
    that is not thinner. None where the table says nothing: thinner than 18 awg and thicker than 2 awg."""
    if cross_section < AMPACITIES[0].cross_section * (1 - _NOMINAL):
        return None
    for row in AMPACITIES:
        if cross_section <= row.cross_section * (1 + _NOMINAL):
            return row.outside
    return None
