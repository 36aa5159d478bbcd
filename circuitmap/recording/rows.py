"""The rows of a recorder's file, streamed into arrays: time as it stands, values as they stand, what was left out."""

from array import array
from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from math import nan
from typing import TYPE_CHECKING

from circuitmap.failures import LimitReached
from circuitmap.recording.cells import Decimal, is_over, kind_of, number_and_unit, number_in
from circuitmap.recording.columns import Columns
from circuitmap.recording.even_rows import EvenRows
from circuitmap.recording.layout import FileLayout, cells_of
from circuitmap.recording.recorded import Remark
from circuitmap.recording.stamps import StampReader
from circuitmap.recording.units import UNITS

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

MOST_ROWS = 20_000_000


@dataclass(slots=True)
class ReadRows:
    """`times` in seconds as the stamps say; `columns` in the order value(s), least, most; a value above the range is
    infinite, one that is missing is nan."""

    times: "array[float]" = field(default_factory=lambda: array("d"))
    columns: "list[array[float]]" = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    units_seen: set[str] = field(default_factory=set)
    _places: list[tuple[int, int]] = field(default_factory=list)

    def line_of(self, row: int) -> int:
        """The line on which a row stands."""
        at = bisect_right(self._places, (row, 1 << 62)) - 1
        first, line = self._places[at]
        return line + row - first

    def add(self, line: int, time: float, values: list[float]) -> None:
        row = len(self.times)
        if not self._places or line - row != self._places[-1][1] - self._places[-1][0]:
            self._places.append((row, line))
        self.times.append(time)
        for column, value in zip(self.columns, values, strict=True):
            column.append(value)

    def add_many(self, line: int, times: "Floats", values: "list[Floats]") -> None:
        """Rows that stand on lines one after another."""
        row = len(self.times)
        if not self._places or line - row != self._places[-1][1] - self._places[-1][0]:
            self._places.append((row, line))
        self.times.frombytes(times.tobytes())
        for column, its in zip(self.columns, values, strict=True):
            column.frombytes(its.tobytes())


def read_rows(
    name: str, blocks: Iterable[tuple[int, list[str]]], layout: FileLayout, columns: Columns, stamps: StampReader
) -> ReadRows:
    """Reads all rows from the first row of data on; LimitReached beyond 20,000,000 of them."""
    rows = ReadRows()
    places = [*columns.values, *(at for at in (columns.least, columns.most) if at >= 0)]
    rows.columns = [array("d") for _ in places]
    width, delimiter, first = len(layout.shape), layout.delimiter, layout.rows[0].line
    time_of = _time_reader(columns, stamps)
    left_out = _LeftOut()
    pairs = [(at, columns.decimals[at]) for at in places]
    even = EvenRows(width, delimiter, columns, tuple(places), stamps)
    for start, lines in blocks:
        if start < first:
            lines, start = lines[first - start :], first
        read = even.read(lines)
        if read is not None:
            rows.add_many(start, *read)
        else:
            for line, text in enumerate(lines, start):
                _one_row(line, text, width, delimiter, time_of, rows, columns, pairs, left_out)
        if len(rows.times) > MOST_ROWS:
            raise LimitReached(
                f"{name}, line {start + len(lines)}: more than {MOST_ROWS:,} rows.",
                "Cut it into several files, or record less often.",
            )
    rows.remarks += left_out.remarks()
    return rows


@dataclass(slots=True)
class _LeftOut:
    """Lines that are no rows, and rows without a number: how many, and the first."""

    others: int = 0
    first_other: tuple[int, str] = (0, "")
    missing: int = 0
    first_missing: tuple[int, str] = (0, "")

    def other(self, line: int, text: str) -> None:
        if text.strip():
            self.first_other = self.first_other if self.others else (line, text.strip()[:60])
            self.others += 1

    def number(self, line: int, cell: str) -> None:
        self.first_missing = self.first_missing if self.missing else (line, cell[:30])
        self.missing += 1

    def remarks(self) -> list[Remark]:
        told = []
        if self.others:
            told.append(Remark("other lines", self.first_other[0], self.others, text=self.first_other[1]))
        if self.missing:
            told.append(Remark("no number", self.first_missing[0], self.missing, text=self.first_missing[1]))
        return told


def _one_row(
    line: int,
    text: str,
    width: int,
    delimiter: str,
    time_of: Callable[[list[str]], float | None],
    rows: ReadRows,
    columns: Columns,
    places: list[tuple[int, Decimal]],
    left_out: _LeftOut,
) -> None:
    cells = cells_of(text, delimiter)
    while len(cells) > width and not cells[-1]:
        cells.pop()
    time = time_of(cells) if len(cells) == width else None
    if time is None:
        left_out.other(line, text)
        return
    factor = 1.0
    if columns.unit_column >= 0:
        unit = cells[columns.unit_column]
        rows.units_seen.add(unit)
        factor = UNITS[unit].factor / UNITS[columns.unit].factor if unit in UNITS else nan
    values: list[float] = []
    for at, decimal in places:
        value = number_in(cells[at], decimal)
        values.append((_otherwise(cells[at], decimal, rows, columns) if value is None else value) * factor)
    if values[0] != values[0]:
        left_out.number(line, cells[places[0][0]])
    rows.add(line, time, values)


def _otherwise(cell: str, decimal: Decimal, rows: ReadRows, columns: Columns) -> float:
    """A cell that is not just a number: with its unit, above the range, or nothing."""
    value, unit = number_and_unit(cell, decimal)
    if value is not None and unit and columns.unit:
        rows.units_seen.add(unit)
        return value * UNITS[unit].factor / UNITS[columns.unit].factor
    if value is not None and kind_of(cell) == "number":
        return value
    return float("inf") if is_over(cell) else nan


def _time_reader(columns: Columns, stamps: StampReader) -> Callable[[list[str]], float | None]:
    match columns.time_kind, columns.time:
        case "stamp", (at,):
            return lambda cells: stamps.stamp(cells[at])
        case "stamp", (day, clock):
            return lambda cells: stamps.both(cells[day], cells[clock])
        case "time", (at,):
            return lambda cells: stamps.time(cells[at])
        case _, (at,):
            decimal, factor = columns.decimals[at], columns.time_factor

            def counted(cells: list[str]) -> float | None:
                value = number_in(cells[at], decimal)
                return None if value is None else value * factor

            return counted
    count = iter(range(1 << 62))
    first = columns.values[0]
    return lambda cells: None if kind_of(cells[first]) == "text" else float(next(count))
