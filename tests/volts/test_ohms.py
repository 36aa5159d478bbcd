"""Wires and fuses against the published tables."""

import pytest

from circuitmap.quantities import Band, cross_section_of_gauge
from circuitmap.volts.ohms import at_temperature, fuse_ohms, per_metre, wire_ohms
from circuitmap.wiring.ampacity import thinnest_for

# ohms per 1000 ft at 20 C of ASTM B258 solid copper, common tables (memory)
GAUGES = {18: 6.385, 16: 4.016, 14: 2.525, 12: 1.588, 10: 0.9989, 4: 0.2485}


@pytest.mark.parametrize("gauge", GAUGES)
def test_american_gauges(gauge: int) -> None:
    assert per_metre(cross_section_of_gauge(gauge)).milliohms == pytest.approx(GAUGES[gauge] * 1000 / 304.8, rel=5e-4)


def test_a_metre_of_class_5_copper_cold_and_warm() -> None:
    """2.5 mm2, 6 m, 10 A: 0.4788 V at 20 C, 0.5541 V at 60 C (IEC 60228 class 5, IEC 60028)."""
    metre = per_metre(2.5)
    assert metre.mark == "seen"
    assert metre.milliohms * 6 * 10 / 1000 == pytest.approx(0.4788, abs=5e-5)
    assert at_temperature(metre.milliohms, 60) * 6 * 10 / 1000 == pytest.approx(0.5541, abs=5e-5)


def test_a_length_narrows_a_wire() -> None:
    unknown, known = wire_ohms(1.5, None), wire_ohms(1.5, Band(2.4, 2.4))
    assert unknown.low < known.low < known.usual < known.high < unknown.high
    assert known.mark == "seen" and unknown.mark == "judgement"


def test_a_fuse_has_at_least_its_cold_resistance_less_what_makes_differ() -> None:
    known = fuse_ohms("regular", 20)  # 3.38 mohm, a maker's data sheet (copy)
    assert known.low < 0.00338 < known.high and known.mark == "copy"
    assert fuse_ohms("bolted", 100).mark == "judgement"


def test_the_thinnest_wire_that_a_fuse_allows() -> None:
    """0.75 mm2 14 A, gauge 18 20 A: the tables of `wiring/ampacity.py` (seen)."""
    assert thinnest_for(14) == 0.75
    assert thinnest_for(20) == pytest.approx(0.823, abs=1e-3)
