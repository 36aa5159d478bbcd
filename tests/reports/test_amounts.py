"""Amounts in words."""

import pytest

from circuitmap.reports.suspects.amounts import amperes_between


@pytest.mark.parametrize(
    ("low", "high", "fine", "words"),
    [
        (0.081, 0.25, True, "81 mA to 0.25 A"),
        (0.012, 0.064, True, "12 to 64 mA"),
        (0.14, 0.27, True, "0.14 to 0.27 A"),
        (0.081, 0.25, False, "0.08 to 0.25 A"),
    ],
)
def test_a_range_names_its_unit_wherever_it_changes(low: float, high: float, fine: bool, words: str) -> None:
    assert amperes_between(low, high, fine) == words
