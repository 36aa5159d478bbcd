"""Columns stand in line wherever there is room for them."""

from circuitmap.reports.words.paragraphs import table


def test_a_wide_column_takes_the_room_that_narrow_ones_leave() -> None:
    rows = [("RD 0.5mm2 code 512 if TOW fitted", "X1", "5", "plug"), ("RD 16mm2", "BAT.+", "", "battery")]
    first, second = table(rows, 96)
    assert first.index("X1") == second.index("BAT.+")
    assert first.index("plug") == second.index("battery")


def test_columns_that_do_not_fit_share_what_there_is() -> None:
    rows = [("a" * 80, "b", "last words"), ("c", "d" * 9, "more last words")]
    first, *_, second = table(rows, 96)
    assert second.index("d") == 1 + (96 - 30 - 9) + 2, "the long cell alone stands out"
    assert first.startswith(" " + "a" * 80 + "  b")
