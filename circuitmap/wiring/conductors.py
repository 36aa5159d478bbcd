"""Resistance of copper wires."""

from collections.abc import Mapping
from types import MappingProxyType

from circuitmap.quantities import cross_section_of_gauge

COPPER = 0.017241
"""Ohm mm2/m at 20 C, annealed copper. Source: IEC 60028 (seen)."""
COPPER_PER_KELVIN = 3.93e-3
"""Temperature coefficient of resistance at 20 C. Source: IEC 60028 (seen)."""

LARGEST_MILLIOHM_PER_METRE: Mapping[float, float] = MappingProxyType(
    {
        0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21,
        25.0: 0.780, 35.0: 0.554, 50.0: 0.386, 70.0: 0.272, 95.0: 0.206, 120.0: 0.161,
    }
)  # fmt: skip
"""By square millimetres, class 5 plain copper at 20 C, the most that the standard allows. Source: IEC 60228 (seen)."""


def milliohm_per_metre(cross_section: float, celsius: float = 20.0) -> float:
    """Resistance of a copper wire: the standard's largest value for its sizes, else that of solid annealed copper of
    this cross-section, which a real wire exceeds by some per cent."""
    at_20 = LARGEST_MILLIOHM_PER_METRE.get(cross_section, COPPER / cross_section * 1000)
    return at_20 * (1 + COPPER_PER_KELVIN * (celsius - 20.0))


def milliohm_per_metre_of_gauge(gauge: float) -> float:
    """Solid annealed copper of an American wire gauge at 20 C (ASTM B258 diameter, IEC 60028 resistivity)."""
    return COPPER / cross_section_of_gauge(gauge) * 1000
