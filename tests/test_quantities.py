"""How much: numbers and units as they are written."""

import pytest

from circuitmap.quantities import UNIT_BY_SUFFIX, QuantityError, read_quantity

MEASURES = UNIT_BY_SUFFIX["A"].measures


@pytest.mark.parametrize("digits", ["1.00000000000000", "000000000000012"])
def test_fifteen_digits_are_read(digits: str) -> None:
    assert read_quantity(f"{digits}A", MEASURES) == float(digits)


@pytest.mark.parametrize("digits", ["1.000000000000000", "0000000000000012"])
def test_sixteen_are_not(digits: str) -> None:
    """A double keeps any 15 decimal digits (IEEE 754-2019, binary64; value from memory)."""
    with pytest.raises(QuantityError, match="at most 15 digits"):
        read_quantity(f"{digits}A", MEASURES)
