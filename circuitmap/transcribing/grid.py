"""A pasted table as rows of cells, each with its place: cells stand apart by tabs, semicolons, strokes, commas, or
columns of blanks."""

import re
from collections import Counter
from collections.abc import Callable, Iterator
from typing import NamedTuple

from circuitmap.failures import LimitReached
from circuitmap.source import SourceFile, Span

MOST_ROWS = 2_000
"""Most rows of one table."""
MOST_COLUMNS = 24
"""Most columns of one table."""

_RULE = re.compile(r"[\s|+:=-]*-{2,}[\s|+:=-]*\Z")
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
_IF_ONLY_DECIMAL = 0.7
_MARKS = re.compile(r"\*\*|`")


class TableCell(NamedTuple):
    text: str
    span: Span


class Grid(NamedTuple):
    """All rows have the same number of cells; missing ones are empty. `apart` says what the cells stand apart by."""

    rows: tuple[tuple[TableCell, ...], ...]
    apart: str

    @property
    def width(self) -> int:
        return len(self.rows[0]) if self.rows else 0

    def column(self, number: int, begin: int = 0) -> list[str]:
        return [row[number].text for row in self.rows[begin:]]


class _Line(NamedTuple):
    text: str
    start: int


def grid_of(source: SourceFile) -> Grid:
    """The cells of a table; of one column where nothing stands apart. Raises LimitReached for one that is too large."""
    lines = [_Line(source.line(number), start) for number, start in enumerate(source.line_starts, 1)]
    lines = [line for line in lines if line.text.strip() and not _RULE.match(line.text)]
    if len(lines) > MOST_ROWS:
        raise LimitReached(f"A table has at most {MOST_ROWS:,} rows.")
    best: tuple[list[list[tuple[int, int]]], str] = ([], "")
    most = 0.0
    for apart, cut in _WAYS.items():
        rows = cut(lines)
        counts = Counter(len(row) for row in rows)
        width, often = max(counts.items(), key=lambda item: (item[1], item[0]), default=(1, 0))
        share = often / len(rows) if rows and width > 1 else 0.0
        if apart == "commas" and all(_DECIMAL_COMMA.sub("", line.text).count(",") == 0 for line in lines):
            share *= _IF_ONLY_DECIMAL  # 0,75 in a table whose columns stand apart by blanks
        if share > most + 0.2 or (share > most and not best[1]):
            best, most = (rows, apart), share
    rows, apart = best if best[1] else ([[(0, len(line.text))] for line in lines], "")
    width = max((len(row) for row in rows), default=0)
    if width > MOST_COLUMNS:
        raise LimitReached(f"A table has at most {MOST_COLUMNS} columns.")
    return Grid(tuple(tuple(_cells(source, line, row, width)) for line, row in zip(lines, rows, strict=True)), apart)


def _cells(source: SourceFile, line: _Line, row: list[tuple[int, int]], width: int) -> Iterator[TableCell]:
    for start, end in (*row, *[(len(line.text), len(line.text))] * (width - len(row))):
        written = line.text[start:end]
        bare = written.strip()
        begin = line.start + start + (len(written) - len(written.lstrip()) if bare else 0)
        text = bare[1:-1].replace('""', '"') if len(bare) > 1 and bare[0] == bare[-1] == '"' else bare
        yield TableCell(" ".join(_MARKS.sub("", text).split()), Span(source, begin, begin + len(bare)))


def _by_sign(sign: str) -> Callable[[list[_Line]], list[list[tuple[int, int]]]]:
    """Cells with a sign between them; inside of quotes it stands for itself."""
    pieces = re.compile(rf'(?:[^"{sign}]|"(?:[^"]|"")*"|")*')

    def cut(lines: list[_Line]) -> list[list[tuple[int, int]]]:
        rows = []
        for line in lines:
            row: list[tuple[int, int]] = []
            at = 0
            while at <= len(line.text):
                match = pieces.match(line.text, at)
                end = match.end() if match else len(line.text)
                row.append((at, end))
                at = end + 1
            if sign == "|" and len(row) > 2:  # strokes at both margins
                row = row[0 if line.text[: row[0][1]].strip() else 1 :]
                row = row[: None if line.text[row[-1][0] :].strip() else -1]
            rows.append(row)
        return rows

    return cut


def _by_blanks(lines: list[_Line]) -> list[list[tuple[int, int]]]:
    """Columns that stand in the same place of all lines, with blanks only between them; or else cells two blanks or
    more apart."""
    width = max((len(line.text) for line in lines), default=0)
    used = [any(at < len(line.text) and line.text[at] not in " \t" for line in lines) for at in range(width)]
    begins = [
        at for at in range(width) if used[at] and (at == 0 or (not used[at - 1] and not (at > 1 and used[at - 2])))
    ]
    runs = [[match.span() for match in re.finditer(r"\S+(?: \S+)*", line.text)] for line in lines]
    if len(begins) >= max(Counter(map(len, runs)).most_common(1)[0][0] if runs else 0, 2):
        ends = [*begins[1:], width]
        return [
            [(min(a, len(its.text)), min(b, len(its.text))) for a, b in zip(begins, ends, strict=True)] for its in lines
        ]
    return runs


_WAYS: dict[str, Callable[[list[_Line]], list[list[tuple[int, int]]]]] = {
    "tabs": _by_sign("\t"),
    "strokes": _by_sign("|"),
    "semicolons": _by_sign(";"),
    "commas": _by_sign(","),
    "blanks": _by_blanks,
}
