"""What a careful reader takes each recorder's file for, written down by somebody who did not know the program."""

from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import pytest

from circuitmap.failures import CannotRead, Failure, LimitReached
from circuitmap.recording.lines import LONGEST_LINE
from circuitmap.recording.reading import read_recording
from circuitmap.recording.recorded import Recording, ToldOfFile

LAYOUTS = Path(__file__).parent / "layouts"


class Held(NamedTuple):
    """The first and last stamp (None: the day, or the time of day, is not in the file), seconds between them, samples,
    usual distance, smallest and largest in A, the current's column, kinds of remarks that must be there."""

    start: str | None
    seconds: float
    samples: int
    distance: float | None
    smallest: float
    largest: float
    column: str
    remarks: tuple[str, ...] = ()


HOLDS = {
    "l01_plain": Held("2031-02-11 18:05:00", 8940, 150, 60, 0.028, 2.312, "current_A"),
    "l02_semicolon_decimal_comma": Held("2031-11-03 21:58:00", 28500, 96, 300, 0.024, 1.405, "Strom [A]", ("not unicode", "zero said")),
    "l03_month_first_ampm": Held("2031-02-11 22:40:00", 14280, 120, 120, 0.043, 1.902, "Battery current (mA)", ("month first",)),
    "l04_date_reads_both_ways": Held("*-* 01:10:00", 5340, 90, 60, 0.03, 0.404, "amps", ("date reads both ways",)),
    "l05_time_of_day_only": Held("* 21:35:00", 32700, 110, 300, 0.03, 0.87, "I/A", ("midnight", "day not known")),
    "l06_clock_set_back": Held("2031-10-26 00:00:00", 32100, 108, 300, 0.026, 0.613, "current [A]", ("clock set back",)),
    "l07_clock_set_forward": Held("2031-03-30 00:00:00", 32100, 108, 300, 0.026, 0.613, "current [A]", ("clock set forward",)),
    "l08_gap_and_empty_cells": Held("2031-02-11 19:00:00.250000", 8490, 186, 30, 0.04, 1.103, "I (A)", ("gap", "no number")),
    "l09_doubled_rows": Held("2031-02-12 00:00:00", 5940, 100, 60, 0.032, 0.252, "A", ("doubles",)),
    "l10_two_samples_a_second": Held("2031-02-11 18:05:00", 74.5, 150, 0.5, 1.01, 7.899, "A", ("several to a stamp",)),
    "l11_max_avg_min": Held("2031-02-11 18:05:00", 8340, 140, 60, 0.0332, 1.4213, "Avg mA"),
    "l12_min_max_only_serial_days": Held("2031-02-11 18:00:00", 29700, 100, 299.808, 0.04, 0.906, "I max (A)", ("no mean", "days since 1899")),
    "l13_total_and_feeder": Held("2031-02-11 20:00:00", 7140, 120, 60, 0.049, 0.712, "battery total"),
    "l15_volts_amps_amphours_degrees": Held("2031-02-11 22:00:00", 21360, 90, 240, 0.054, 0.64, "I (A)"),
    "l16_sign_turned_epoch": Held("2031-02-11 18:05:00", 3870, 130, 30, 0.0287, 1.3111, "i_batt_A", ("sign turned", "universal time")),
    "l17_charger_on_sign_stated": Held("2031-02-11 17:00:00", 46500, 156, 300, -3.804, 1.051, "battery current A (+ = out of the battery)", ("sign kept", "charged")),
    "l18_overrange_and_page_headers": Held("* 18:00:00", 1190, 115, 10, 0.0356, 1.8216, "mA", ("over range", "no number", "other lines", "day not known")),
    "l19_unit_in_every_row": Held("*-* 18:05:00", 7140, 120, 60, 0.0004354, 1.24, "Value", ("units differ", "date reads both ways")),
    "l20_summary_at_the_end": Held("2031-02-11 23:00:00", 13080, 110, 120, 0.038, 0.661, "Current A", ("other lines", "no number")),
    "l21_utf16": Held("2031-02-11 18:30:00", 29700, 100, 300, 0.029, 0.972, "Prąd (A)"),
    "l22_interval_only": Held("2031-02-11 18:40:00", 1790, 180, 10, 0.026, 0.781, "Reading"),
    "l23_milliseconds_since_start": Held(None, 2385.003, 160, 15.0, 0.03053, 0.5226, "i_mA", ("own count",)),
    "l24_scope_capture": Held(None, 9.95, 200, 0.05, 0.91723, 8.4287, "Data", ("scale", "own count")),
    "l27_quoted_decimal_commas": Held("2031-01-31 22:00:00", 17820, 100, 180, 0.035, 0.912, "Current, total"),
    "l28_thousands_newest_first": Held("2031-02-11 18:00:00", 14280, 120, 120, 0.0288, 2.4005, "Strom", ("newest first",)),
    "l29_blanks_and_comments": Held("2031-02-11 19:30:00", 21360, 90, 240, 0.016, 0.661, "ampere", ("zero said",)),
    "l30_on_change_with_zone": Held("2031-02-11 18:05:00", 38013, 51, None, 0.029, 1.31, "I in A (written on change)", ("uneven",)),
    "h01_nul_bytes": Held("2031-02-11 18:05:00", 5940, 80, 60, 0.028, 0.712, "current_A", ("nul bytes", "gap")),
    "h03_formula_cells": Held("2031-02-11 18:05:00", 3540, 59, 60, 0.027, 0.712, "</text><script>alert(1)</script> current (A)", ("no number",)),
    "h04_wrong_encoding": Held("2031-02-11 18:05:00", 3540, 60, 60, 0.027, 0.712, "Strom (µA)", ("not unicode",)),
    "h11_delimiter_changes": Held("2031-02-11 18:05:00", 2340, 40, 60, 0.028, 0.712, "current (A)", ("other lines",)),
    "h15_utf16_without_mark_cut_off": Held("2031-02-11 18:05:00", 4080, 69, 60, 0.027, 0.712, "I (A)", ("no number", "cut off")),
}  # fmt: skip

ASKS = {
    "l14_two_equal_columns": (("column",), ToldOfFile(column="CH1"), (0.034, 0.442)),
    "l25_millivolts_of_a_clamp": (("scale",), ToldOfFile(scale=0.1), (0.0334, 0.8329)),
    "l26_no_unit": (("unit",), ToldOfFile(unit="mA"), (0.027, 1.352)),
    "h08_one_column": (("distance", "unit"), ToldOfFile(unit="A", distance=60.0), (0.027, 0.712)),
}
"""What has to be asked first, an answer, and smallest and largest with that answer."""

REFUSED = {
    "h05_empty": "is empty: 0 bytes",
    "h06_header_only": "a header, and no row of data below it; line 2",
    "h07_text_only": "no column of numbers in 5 lines of text; line 1: Dear Ines,",
    "h09_times_going_back": "line 52: the time goes back by 23 min 40 s",
    "h10_clock_stands_still": "line 3: the same time as the row before, and another value",
    "h12_no_finite_number": "line 2: 40 rows with a time, and not one number",
    "h14_not_text": "is not text, but packed (gzip)",
}

LINES = {
    ("h01_nul_bytes", "nul bytes"): 42,
    ("h03_formula_cells", "no number"): 24,
    ("h11_delimiter_changes", "other lines"): 42,
    ("h15_utf16_without_mark_cut_off", "no number"): 71,
    ("l06_clock_set_back", "clock set back"): 38,
    ("l07_clock_set_forward", "clock set forward"): 26,
    ("l08_gap_and_empty_cells", "gap"): 102,
    ("l08_gap_and_empty_cells", "no number"): 57,
    ("l09_doubled_rows", "doubles"): 14,
    ("l18_overrange_and_page_headers", "over range"): 11,
    ("l18_overrange_and_page_headers", "no number"): 33,
    ("l20_summary_at_the_end", "other lines"): 114,
}
"""The place that must be told with a remark."""

AMOUNTS = {
    ("l08_gap_and_empty_cells", "gap"): 94 * 30,
    ("l09_doubled_rows", "doubles"): 15,
    ("l10_two_samples_a_second", "several to a stamp"): 2,
    ("l18_overrange_and_page_headers", "over range"): 3,
    ("l18_overrange_and_page_headers", "no number"): 2,
    ("l20_summary_at_the_end", "other lines"): 4,
    ("l24_scope_capture", "own count"): -2.5,
    ("l29_blanks_and_comments", "zero said"): -0.012,
    ("h01_nul_bytes", "nul bytes"): 512,
    ("h11_delimiter_changes", "other lines"): 40,
}


def read(name: str, told: ToldOfFile = ToldOfFile()) -> Recording:  # noqa: B008
    return read_recording(LAYOUTS / f"{name}.csv", told)


def test_every_file_has_its_expectation() -> None:
    assert {file.stem for file in LAYOUTS.glob("*.csv")} == {*HOLDS, *ASKS, *REFUSED}


@pytest.mark.parametrize("name", HOLDS)
def test_it_is_read(name: str) -> None:
    holds, found = HOLDS[name], read(name)
    assert found.asked == ()
    began = None if found.began is None else str(datetime(1, 1, 1) + timedelta(seconds=round(found.began, 3)))
    if holds.start is None or not holds.start.startswith("*"):
        assert began == holds.start and found.day_known == (holds.start is not None)
    else:
        assert began and began.endswith(holds.start.partition(" ")[2]) and not found.day_known
    assert float(found.seconds[-1]) == pytest.approx(holds.seconds, abs=0.5 if "serial" in name else 1e-6)
    assert found.numbers == holds.samples
    assert found.held == (holds.distance is None)
    if holds.distance is not None:
        assert found.distance == pytest.approx(holds.distance, abs=0.005)
    assert (found.smallest, found.largest) == (pytest.approx(holds.smallest, abs=5e-6), pytest.approx(holds.largest))
    assert found.taken.current == holds.column
    kinds = {remark.kind for remark in found.remarks}
    assert set(holds.remarks) <= kinds and ("zero said" in kinds) != ("zero not known" in kinds)
    assert kinds - {"zero not known"} <= {*holds.remarks, "zero said"}, "nothing is told that is not so"


@pytest.mark.parametrize("name", ASKS)
def test_it_is_asked_first(name: str) -> None:
    wanted, answer, amps = ASKS[name]
    assert tuple(one.about for one in read(name).asked) == wanted
    found = read(name, answer)
    assert found.asked == ()
    assert (found.smallest, found.largest) == (pytest.approx(amps[0]), pytest.approx(amps[1]))


@pytest.mark.parametrize("name", REFUSED)
def test_it_is_refused_with_its_place(name: str) -> None:
    with pytest.raises(CannotRead) as caught:
        read(name)
    assert REFUSED[name] in caught.value.message


@pytest.mark.parametrize(("name", "kind"), LINES)
def test_the_place_is_told(name: str, kind: str) -> None:
    assert [remark.line for remark in read(name).remarks if remark.kind == kind] == [LINES[name, kind]]


@pytest.mark.parametrize(("name", "kind"), AMOUNTS)
def test_how_much_is_told(name: str, kind: str) -> None:
    assert [remark.amount for remark in read(name).remarks if remark.kind == kind] == [AMOUNTS[name, kind]]


def test_what_else_is_in_the_file_is_kept_apart() -> None:
    assert read("l15_volts_amps_amphours_degrees").taken.others == ("U (V)", "Q (Ah)", "T (°C)")
    assert read("l13_total_and_feeder").taken.others == ("feeder F12",)
    both = read("l11_max_avg_min")
    assert both.least is not None and both.most is not None
    assert (both.least.min(), both.most.max()) == (pytest.approx(0.0197), pytest.approx(1.4308))


def test_a_clock_that_stands_still_is_read_with_the_distance_said() -> None:
    found = read("h10_clock_stands_still", ToldOfFile(distance=10.0))
    assert (found.numbers, float(found.seconds[-1])) == (90, 890.0)


@pytest.mark.parametrize(
    ("negative", "sign"), [(0.0, "kept"), (0.4, "kept"), (0.7, "asked"), (0.99, "turned"), (1.0, "turned")]
)
def test_the_sign_is_turned_only_where_nothing_else_can_be(negative: float, sign: str, tmp_path: Path) -> None:
    rows = [f"2031-02-11 18:{at // 60:02d}:{at % 60:02d},{-1 if at < 500 * negative else 1}.5" for at in range(500)]
    (tmp_path / "log.csv").write_text("time,A\n" + "\n".join(rows) + "\n")
    found = read_recording(tmp_path / "log.csv", ToldOfFile())
    assert [one.about for one in found.asked] == (["sign"] if sign == "asked" else [])
    assert any(remark.kind == "sign turned" for remark in found.remarks) == (sign == "turned")
    for answer, first in (("kept", -1.5 if negative else 1.5), ("turned", 1.5 if negative else -1.5)):
        told = read_recording(tmp_path / "log.csv", ToldOfFile(sign=answer))  # type: ignore[arg-type]
        assert told.asked == () and told.amps[0] == first


def test_a_line_longer_than_the_limit(tmp_path: Path) -> None:
    good = "".join(f"2031-02-11 18:{at:02d}:00,0.71\n" for at in range(30))
    for digits, fine in ((LONGEST_LINE, True), (LONGEST_LINE + 1, False), (10_000_000, False)):
        (tmp_path / "log.csv").write_text(f"time,current_A\n{good}{'3' * digits}")
        if fine:
            assert read_recording(tmp_path / "log.csv", ToldOfFile()).numbers == 30
        else:
            with pytest.raises(LimitReached, match="line 32: longer than 100,000 characters"):
                read_recording(tmp_path / "log.csv", ToldOfFile())


def test_columns_beyond_the_limit(tmp_path: Path) -> None:
    for columns, failure in ((1000, None), (1001, "line 1: 1,001 columns"), (1_000_000, "line 1: longer than")):
        header = ",".join(f"c{at}" for at in range(columns))
        (tmp_path / "log.csv").write_text(header + "\n" + ("0," * (columns - 1) + "0\n") * 5)
        if failure is None:
            assert next(one.about for one in read_recording(tmp_path / "log.csv", ToldOfFile()).asked) == "column"
        else:
            with pytest.raises(LimitReached, match=failure):
                read_recording(tmp_path / "log.csv", ToldOfFile())


def test_rows_beyond_the_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("circuitmap.recording.rows.MOST_ROWS", 500)
    for rows, fine in ((499, True), (500, True), (501, False)):
        text = "".join(f"2031-02-11 {at // 3600:02d}:{at // 60 % 60:02d}:{at % 60:02d},0.71\n" for at in range(rows))
        (tmp_path / "log.csv").write_text("time,current_A\n" + text)
        if fine:
            assert read_recording(tmp_path / "log.csv", ToldOfFile()).numbers == rows
        else:
            with pytest.raises(LimitReached, match="more than 500 rows"):
                read_recording(tmp_path / "log.csv", ToldOfFile())


def test_bytes_beyond_the_limit(tmp_path: Path) -> None:
    with (tmp_path / "log.csv").open("wb") as file:
        file.truncate(2_000_000_001)
    with pytest.raises(LimitReached, match="larger than 2,000,000,000 bytes"):
        read_recording(tmp_path / "log.csv", ToldOfFile())


@pytest.mark.parametrize("name", [file.stem for file in sorted(LAYOUTS.glob("*.csv"))])
def test_block_by_block_and_row_by_row_are_the_same(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The quick way of reading, which the usual files take, changes no answer; nor does where a block ends."""

    def answer() -> object:
        try:
            found = read(name)
        except Failure as failure:
            return failure.message
        return found.taken, found.remarks, found.asked, found.seconds.tolist(), found.amps.tolist()

    at_once = answer()
    monkeypatch.setattr("circuitmap.recording.lines._AT_ONCE", 700)
    assert answer() == at_once
    monkeypatch.setattr("circuitmap.recording.even_rows.EvenRows.read", lambda self, lines: None)
    assert answer() == at_once
