"""How much current a wire may carry.

Source: two chandlers' tables citing 33 CFR 183.425, single conductors with 105 C insulation, outside and inside an
engine space (seen). Vehicles are not boats, and makers size by temperature and run: a verdict is given only where even
the next thicker wire of the table would be too thin.

Thinner wires of vehicles have a table of their own. Makers put them behind fuses that are larger than it says, because
what they feed takes little: a verdict is given only where the fuse is larger than half as much again.
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


class ThinWire(NamedTuple):
    """Amperes that a thin wire of a vehicle may carry, by its nominal cross-section in mm2."""

    cross_section: float
    amperes: float


THIN_WIRES: tuple[ThinWire, ...] = (
    ThinWire(0.2, 3.5),
    ThinWire(0.35, 7),
    ThinWire(0.5, 11),
    ThinWire(0.75, 14),
)
"""0.5 and 0.75 mm2: a wholesaler's table of thin-wall vehicle cable to ISO 6722 class B, 105 C (seen). 0.2 and 0.35:
24 and 22 awg of a table of single wires in open air that is widely copied (seen; the copies name no origin)."""

THINNEST = 0.13
"""The thinnest conductor in mm2 that vehicle cable is made with (memory: the sizes of ISO 6722-1 begin there)."""

CLEARLY_MORE = 1.5
"""A fuse of up to half as much again is not told: one fuse feeds the thin branch of a tell-tale beside a thick one of a
lamp (judgement; the sheets of the sample vehicles and papers go up to 1.07 times)."""

_NOMINAL = 0.01
"""Sizes are rounded in print: within one per cent of a gauge is that gauge (judgement)."""


class Carries(NamedTuple):
    """What a wire carries at the very most, and the largest fuse before it of which nothing is said."""

    amperes: float
    stands: float


def most_amperes(cross_section: float) -> Carries | None:
    """For a wire of so many square millimetres the value of the thinnest wire in the tables that is not thinner. None
    where they say nothing: above 2 awg."""
    for thin in THIN_WIRES:
        if cross_section <= thin.cross_section * (1 + _NOMINAL):
            return Carries(thin.amperes, min(thin.amperes * CLEARLY_MORE, AMPACITIES[0].outside))
    for row in AMPACITIES:
        if cross_section <= row.cross_section * (1 + _NOMINAL):
            return Carries(row.outside, row.outside)
    return None


def thinnest_for(amps: float) -> float:
    """The thinnest wire, in mm2, that may carry so much current; beyond the tables, so much thicker as it needs."""
    for thin in THIN_WIRES:
        if amps <= thin.amperes:
            return thin.cross_section
    for row in AMPACITIES:
        if amps <= row.outside:
            return row.cross_section
    last = AMPACITIES[-1]
    return last.cross_section * amps / last.outside
