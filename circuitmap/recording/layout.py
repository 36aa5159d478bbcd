"""How is this file laid out? Delimiter, first row of data, what each column is called, what stands above it.

A row of data is told by its shape: what kinds of cells it has. The shape that most of the first lines share is that of
the data; a preamble and a summary have others.
"""

import csv
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from circuitmap.failures import CannotRead, LimitReached
from circuitmap.recording.cells import CellKind, kind_of
from circuitmap.recording.units import known_unit

MOST_COLUMNS = 1_000
LOOKED_AT = 500
"""How many lines are looked at to find the layout."""
LEAST_ROWS = 3
"""Fewer rows of one shape are no log (judgement): a sentence may hold a number, too."""
_DELIMITERS = (";", "\t", ",", "|", " ")
_CALLED = {";": "semicolon", "\t": "tab", ",": "comma", "|": "bar", " ": "blanks"}
_TIMES = frozenset({"date", "time", "stamp"})


class CutRow(NamedTuple):
    """A line near the beginning, cut into cells."""

    line: int
    cells: list[str]
    kinds: tuple[CellKind, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FileLayout:
    """`shape` is the usual kind of each column; `rows` are the rows of data among the first lines; `above` are the
    lines above them; `name_line` is the line of the header, 0 if there is none."""

    delimiter: str
    shape: tuple[CellKind, ...]
    rows: tuple[CutRow, ...]
    names: tuple[str, ...]
    name_line: int
    units: tuple[str, ...]
    above: tuple[tuple[int, str], ...]

    @property
    def delimiter_name(self) -> str:
        return _CALLED[self.delimiter] if len(self.shape) > 1 else "none"


def cells_of(line: str, delimiter: str) -> list[str]:
    """A line cut into cells; a delimiter in quotes cuts nothing."""
    if delimiter == " ":
        return line.split()
    if '"' in line:
        try:
            return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]
        except csv.Error:
            pass
    return [cell.strip() for cell in line.split(delimiter)]


def layout_of(name: str, head: Sequence[tuple[int, str]]) -> FileLayout:
    """The layout of a file that begins with these lines; CannotRead if it has no rows of numbers."""
    for number, line in head:
        widest = max(line.count(mark) for mark in _DELIMITERS[:4]) + 1
        if widest > MOST_COLUMNS:
            raise LimitReached(f"{name}, line {number}: {widest:,} columns; at most {MOST_COLUMNS:,} are read.")
    best: tuple[float, str, tuple[CellKind, ...], list[CutRow]] | None = None
    for delimiter in _DELIMITERS:
        cut = [_row(number, line, delimiter) for number, line in head]
        shape, score = _usual_shape(cut)
        if shape and (best is None or score > best[0] * 1.001):
            best = (score, delimiter, shape, cut)
    if best is None:
        raise _no_numbers(name, head)
    _, delimiter, shape, cut = best
    first = next(at for at, row in enumerate(cut) if fits(row.kinds, shape))
    rows = tuple(row for row in cut[first:] if fits(row.kinds, shape))
    if len(rows) < LEAST_ROWS:
        raise _no_numbers(name, head)
    above = tuple(pair for pair in head[:first] if pair[1].strip())
    cut_above = [(row.line, tuple(row.cells)) for row in cut[:first] if any(row.cells)]
    names, name_line, units = _header(cut_above, len(shape))
    return FileLayout(
        delimiter=delimiter, shape=shape, rows=rows, names=names, name_line=name_line, units=units, above=above
    )


def fits(kinds: Sequence[CellKind], shape: Sequence[CellKind]) -> bool:
    """Whether a row can be one of data: its times are times, and what else it has is no text in place of a number."""
    if len(kinds) != len(shape):
        return False
    for its, usual in zip(kinds, shape, strict=True):
        if usual in _TIMES and its != usual:
            return False
        if usual == "number" and its == "text":
            return False
    return any(its in ("number", "over") for its in kinds)


def _row(number: int, line: str, delimiter: str) -> CutRow:
    cells = cells_of(line, delimiter)
    return CutRow(number, cells, tuple(map(kind_of, cells)))


def _usual_shape(rows: list[CutRow]) -> tuple[tuple[CellKind, ...], float]:
    """The shape that most rows share, and how well it explains the lines: by how much of them makes sense."""
    shapes = Counter(row.kinds for row in rows if "number" in row.kinds)
    if not shapes:
        return (), 0.0
    width = Counter[int]()
    for kinds, count in shapes.items():
        width[len(kinds)] += count
    usual, _ = shapes.most_common(1)[0]
    if len(usual) != width.most_common(1)[0][0]:
        usual = next(kinds for kinds, _ in shapes.most_common() if len(kinds) == width.most_common(1)[0][0])
    columns = [Counter(row.kinds[at] for row in rows if len(row.kinds) == len(usual)) for at in range(len(usual))]
    shape = tuple(_usual_kind(counts) for counts in columns)
    if "number" not in shape:
        shape = usual
    score = 0.0
    for row in rows:
        if fits(row.kinds, shape):
            said = sum(len(cell) for cell, kind in zip(row.cells, row.kinds, strict=True) if kind != "text")
            share = said / max(1, sum(map(len, row.cells)))
            score += share if share > 0.3 else 0.0
    return (shape if score else ()), score


def _usual_kind(counts: "Counter[CellKind]") -> CellKind:
    told = [(count, kind) for kind, count in counts.items() if kind not in ("empty", "over")]
    return max(told, key=lambda its: (its[0], its[1] != "text"))[1] if told else "empty"


def _header(above: Sequence[tuple[int, tuple[str, ...]]], width: int) -> tuple[tuple[str, ...], int, tuple[str, ...]]:
    """Names and units of the columns, from the last lines above the data that have as many cells."""
    none = ("",) * width
    names, line, units = none, 0, none
    for number, cells in reversed(above):
        if cells[0].startswith("#"):
            words = " ".join(cells).lstrip("#").split()
            if len(words) >= width and not line:
                names, line = tuple(words[-width:]), number
            break
        if len(cells) != width:
            break
        if not line and any(map(known_unit, cells)) and units == none and width > 1:
            units = tuple(known_unit(cell) for cell in cells)
            bare = sum(bool(unit) for unit in units) == sum(kind_of(cell) == "text" for cell in cells)
            if not bare and not any(cell.lower().startswith(("yyyy", "dd", "mm", "hh")) for cell in cells):
                # Names such as `A` beside `time`: a header, whose units are read from the names.
                return cells, number, none
            continue
        return cells, number, units
    return names, line, units


def _no_numbers(name: str, head: Sequence[tuple[int, str]]) -> CannotRead:
    told = [(number, line) for number, line in head if line.strip()]
    if not told:
        return CannotRead(f"{name} holds no text: only empty lines.")
    cut = [max((_row(*one, mark) for mark in _DELIMITERS[:4]), key=lambda row: len(row.cells)) for one in told]
    timed = [row for row in cut if _TIMES & set(row.kinds)]
    if len(timed) >= LEAST_ROWS:
        seen = ", ".join(dict.fromkeys(cell or "nothing" for row in timed[:6] for cell in row.cells[1:]))
        return CannotRead(f"{name}, line {timed[0].line}: {len(timed)} rows with a time, and not one number ({seen}).")
    number, line = told[-1] if len(told) < LEAST_ROWS else told[0]
    words = f"line {number}: {line.strip()[:60]}"
    if len(told) < LEAST_ROWS and len(cut[-1].cells) > 1 and "number" not in cut[-1].kinds:
        return CannotRead(f"{name} has a header, and no row of data below it; {words}")
    return CannotRead(f"{name} has no column of numbers in {len(head)} lines of text; {words}")
