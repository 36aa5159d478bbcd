"""The tables against published values; the source stands beside each check."""

import pytest

from circuitmap.quantities import cross_section_of_gauge
from circuitmap.wiring.ampacity import AMPACITIES, most_amperes
from circuitmap.wiring.colours import COLOURS, colour_codes, colour_in_words
from circuitmap.wiring.conductors import (
    COPPER,
    LARGEST_MILLIOHM_PER_METRE,
    milliohm_per_metre,
    milliohm_per_metre_of_gauge,
)
from circuitmap.wiring.din_terminals import DIN_TERMINALS, MEANING_OF
from circuitmap.wiring.parts import Relay
from tests.wiring.written import platform_from


def test_colour_codes() -> None:
    """Source: GOST 28763-90, the text of IEC 757:1983 (seen)."""
    assert " ".join(colour.code for colour in COLOURS) == "BK BN RD OG YE GN BU VT GY WH PK GD TQ SR GNYE"
    assert len({colour.name for colour in COLOURS}) == len(COLOURS)


def test_base_colour_comes_before_the_tracer() -> None:
    """Common practice, no source."""
    assert colour_codes("BN/WH", {}) == ("BN", "WH")
    assert colour_in_words(("BN", "WH")) == "brown/white"


def test_terminals() -> None:
    """Source: public lists of DIN 72552: kfztech.de, memim.com, bs-wiki.de (seen)."""
    assert len(MEANING_OF) == len(DIN_TERMINALS)
    assert MEANING_OF["15"].startswith("switched plus")
    assert MEANING_OF["30"].startswith("battery plus")
    assert "ground" in MEANING_OF["31"]
    assert ("minus" in MEANING_OF["85"], "plus" in MEANING_OF["86"]) == (True, True)
    assert ("make" in MEANING_OF["87"], "break" in MEANING_OF["87a"]) == (True, True)


@pytest.mark.parametrize(
    ("form", "contacts"),
    [
        ("make", [("30", "87", True)]),
        ("break", [("30", "87a", False)]),
        ("changeover", [("30", "87", True), ("30", "87a", False)]),
    ],
)
def test_a_relay_has_the_terminals_of_the_standard(form: str, contacts: list[tuple[str, str, bool]]) -> None:
    """DIN 72552: 86 coil plus, 85 coil minus, 87 make, 87a break (seen); 30 is the common contact."""
    relay = platform_from(f"relay K {form}\n").parts["K"]
    assert isinstance(relay, Relay)
    assert relay.coil == ("86", "85")
    assert list(relay.contacts) == contacts


@pytest.mark.parametrize(
    ("gauge", "square_millimetres", "milliohm"),
    [
        (10, 5.261, 3.277),
        (12, 3.309, 5.211),
        (14, 2.081, 8.285),
        (16, 1.309, 13.17),
        (18, 0.823, 20.95),
        (20, 0.518, 33.31),
        (22, 0.326, 52.96),
    ],
)
def test_wire_gauges(gauge: int, square_millimetres: float, milliohm: float) -> None:
    """Source: ASTM B258, d = 0.127 mm x 92^((36 - n) / 39) (seen); the resistances from 17.241 (derived)."""
    assert cross_section_of_gauge(gauge) == pytest.approx(square_millimetres, abs=0.0006)
    assert milliohm_per_metre_of_gauge(gauge) == pytest.approx(milliohm, rel=0.0005)


def test_gauges_above_one() -> None:
    """ASTM B258: 4/0 is 0.46 inch, 11.684 mm (the definition's upper end), 107.2 mm2."""
    assert cross_section_of_gauge(1 - 4) == pytest.approx(107.2, abs=0.05)


def test_conductor_resistance() -> None:
    """Source: IEC 60228 class 5, largest values at 20 C (seen), and IEC 60028, 58 MS/m (seen)."""
    assert LARGEST_MILLIOHM_PER_METRE[0.75] == 26.0
    assert LARGEST_MILLIOHM_PER_METRE[25.0] == 0.780
    assert pytest.approx(58.0, abs=0.01) == 1 / COPPER
    for size, largest in LARGEST_MILLIOHM_PER_METRE.items():
        solid = COPPER / size * 1000
        # The allowance for strands and tolerance: 11 to 15 per cent up to 6 mm2, the same order above (derived).
        assert 1.05 < largest / solid < 1.17, size
    sizes = list(LARGEST_MILLIOHM_PER_METRE.values())
    assert sizes == sorted(sizes, reverse=True)


def test_copper_gets_warm() -> None:
    """IEC 60028: 3.93e-3 per kelvin (seen): at 100 C 31.4 per cent more than at 20 C."""
    assert milliohm_per_metre(1.0, 100.0) / milliohm_per_metre(1.0) == pytest.approx(1.3144)


@pytest.mark.parametrize(
    ("gauge", "outside", "engine_space"),
    [
        (18, 20, 17), (16, 25, 21), (14, 35, 30), (12, 45, 38), (10, 60, 51), (8, 80, 68), (6, 120, 102),
        (4, 160, 136), (2, 210, 178),
    ],
)  # fmt: skip
def test_ampacities(gauge: int, outside: int, engine_space: int) -> None:
    """Source: two chandlers' tables citing 33 CFR 183.425, 105 C insulation (seen)."""
    row = next(row for row in AMPACITIES if row.gauge == gauge)
    assert (row.outside, row.engine_space) == (outside, engine_space)
    assert most_amperes(cross_section_of_gauge(gauge)) == outside
    # Inside an engine space the table takes 15 per cent off (derived from its rows).
    assert row.engine_space == pytest.approx(row.outside * 0.85, abs=0.6)


def test_between_two_gauges_the_thicker_one_is_the_bound() -> None:
    assert most_amperes(1.0) == 25
    assert most_amperes(2.5) == 45
    assert most_amperes(0.75) is None
    assert most_amperes(70.0) is None
