"""The tables against published values; the source stands beside each check."""

import pytest

from circuitmap.quantities import cross_section_of_gauge
from circuitmap.wiring.ampacity import AMPACITIES, most_amperes
from circuitmap.wiring.colours import COLOURS, colour_codes
from circuitmap.wiring.parts import Relay
from tests.wiring.written import platform_from


def test_colour_codes() -> None:
    """Source: GOST 28763-90, the text of IEC 757:1983 (seen)."""
    assert " ".join(colour.code for colour in COLOURS) == "BK BN RD OG YE GN BU VT GY WH PK GD TQ SR GNYE"
    assert len({colour.name for colour in COLOURS}) == len(COLOURS)


def test_base_colour_comes_before_the_tracer() -> None:
    """Common practice, no source."""
    assert colour_codes("BN/WH", {}) == ("BN", "WH")


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
    ("gauge", "square_millimetres"),
    [(10, 5.261), (12, 3.309), (14, 2.081), (16, 1.309), (18, 0.823), (20, 0.518), (22, 0.326)],
)
def test_wire_gauges(gauge: int, square_millimetres: float) -> None:
    """Source: ASTM B258, d = 0.127 mm x 92^((36 - n) / 39) (seen)."""
    assert cross_section_of_gauge(gauge) == pytest.approx(square_millimetres, abs=0.0006)


def test_gauges_above_one() -> None:
    """ASTM B258: 4/0 is 0.46 inch, 11.684 mm (the definition's upper end), 107.2 mm2."""
    assert cross_section_of_gauge(1 - 4) == pytest.approx(107.2, abs=0.05)


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
    assert most_amperes(cross_section_of_gauge(gauge)) == (outside, outside)
    # Inside an engine space the table takes 15 per cent off (derived from its rows).
    assert row.engine_space == pytest.approx(row.outside * 0.85, abs=0.6)


def test_between_two_gauges_the_thicker_one_is_the_bound() -> None:
    assert most_amperes(1.0) == (25, 25)
    assert most_amperes(2.5) == (45, 45)
    assert most_amperes(70.0) is None


@pytest.mark.parametrize(("size", "amperes"), [(0.35, 7), (0.5, 11), (0.75, 14)])
def test_thin_wires(size: float, amperes: float) -> None:
    """Source: a wholesaler's table of thin-wall cable to ISO 6722 class B (0.5 mm2 11 A, 0.75 mm2 14 A, seen); 22 awg,
    0.326 mm2, 7 A, 24 awg, 0.205 mm2, 3.5 A: a copied table of single wires in open air (seen)."""
    carries = most_amperes(size)
    assert carries is not None
    assert carries.amperes == amperes
    assert carries.amperes < carries.stands <= 20, "never more than the next thicker wire of the other table"


def test_a_thicker_wire_never_stands_a_smaller_fuse() -> None:
    sizes = [0.13, 0.2, 0.22, 0.35, 0.5, 0.75, 0.82, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0]
    stands = [carries.stands for carries in map(most_amperes, sizes) if carries is not None]
    assert stands == sorted(stands)
    assert len(stands) == len(sizes)
