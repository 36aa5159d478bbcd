"""The rows of a table as statements of the notation, once it is confirmed what its columns are.

A row with anything in it that may mean several things, or nothing, is a question; the others go on.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from circuitmap.notation.reading import read_text
from circuitmap.problems import Severity
from circuitmap.source import SourceFile
from circuitmap.transcribing.asked import AS_REMARK, LEFT_OUT, Question, Settled
from circuitmap.transcribing.cell_values import says_nothing
from circuitmap.transcribing.columns import IGNORED, TableKind
from circuitmap.transcribing.grid import Grid, TableCell
from circuitmap.transcribing.on_sheet import quoted
from circuitmap.transcribing.typed_lines import KnownHere

_HIDDEN_IN_COMMENT = re.compile(r"[^\x20-\x7e\xa0-\u024f]")


class TableLayout(NamedTuple):
    """What was confirmed of a table. `box` is the box its fuses sit in, `part` the part of a pin list, `sides` what is
    printed at the feed and at the outgoing side of a fuse. `mark` is what is noted at each statement until it is
    checked."""

    kind: TableKind
    columns: tuple[str, ...]
    headed: bool
    mark: str
    box: str = ""
    part: str = ""
    sides: tuple[str, str] = ("in", "out")


class BadRow(Exception):
    """A cell that cannot be read in one way."""

    def __init__(self, headline: str, cell: TableCell, choices: tuple[str, ...] = ()) -> None:
        super().__init__(headline)
        self.question = Question(headline, cell.span, choices)


@dataclass(frozen=True)
class TableRow:
    """The cells of one row by their role, the heads of their columns, and the whole table's layout."""

    cells: dict[str, TableCell]
    layout: TableLayout
    known: KnownHere
    settled: Settled
    head: Mapping[str, str] = field(default_factory=dict)

    def cell(self, role: str) -> TableCell:
        """The cell of this role, or else the first of the row: a question needs a place."""
        return self.cells.get(role) or next(iter(self.cells.values()))

    def printed(self, role: str) -> str:
        """What stands in the cell of this role, if the table has such a column."""
        cell = self.cells.get(role)
        return cell.text if cell is not None else ""

    def text(self, role: str) -> str:
        """What a cell says; empty where it says nothing."""
        text = self.printed(role)
        return "" if says_nothing(text) else text

    def answer(self, role: str) -> str:
        """What somebody answered about this cell, if anything."""
        cell = self.cells.get(role)
        return self.settled.get(cell.span.start, "") if cell is not None else ""

    def behind(self) -> str:
        """What stands behind each statement of a table."""
        return f" copied {quoted(self.layout.mark)}"

    def condition(self) -> str:
        """`if TOW` for the option in this row."""
        text = self.answer("option") or self.text("option")
        if says_nothing(text) or text == AS_REMARK:
            return ""
        found = self.options_meant(text)
        if len(found) != 1:
            choices = (*found, AS_REMARK)
            raise BadRow(f"{text} is not an equipment option of this platform.", self.cell("option"), choices)
        return f" if {found[0]}"

    def options_meant(self, text: str) -> tuple[str, ...]:
        """The equipment options that a text may mean."""
        options = self.known.names.options
        return (text,) if text in options else options.having_tail_in_any_case(text)

    def remark(self, *more: str) -> str:
        """What stands behind the statement as a remark: the cell for remarks, one that is no option, and `more`."""
        no_option = self.text("option") if self.answer("option") == AS_REMARK else ""
        said = "; ".join(filter(None, (self.text("remark"), no_option, *more)))
        return f"  # {_HIDDEN_IN_COMMENT.sub(' ', said)}" if said else ""

    def is_no_name(self, answer: str) -> bool:
        """Whether what somebody typed for a name is none: papers print a capital letter or a digit, and no blanks."""
        known = self.known.names.meant(answer) or self.known.names.parts_with_tail(answer)
        return not known and (any(c.isspace() for c in answer) or not any(c.isdecimal() or c.isupper() for c in answer))


def words_in_cell(written: str) -> tuple[str, ...]:
    """The words of a cell that holds several, if one of them may be a name: those with a letter."""
    words = [word for word in re.split(r"[\s,;()\[\]]+", written) if any(c.isalpha() for c in word)]
    return tuple(words) if re.search(r"\s", written.strip()) else ()


def asked_word(written: str, found: Iterable[str], cell: TableCell) -> BadRow | None:
    """The question whether a word of this cell is the name that is meant: `BAR A30` may be A30, and may be another."""
    choices = tuple(dict.fromkeys(found))
    if not choices:
        return None
    return BadRow(
        f"{written}: is {choices[0]} meant?" if len(choices) == 1 else f"{written} may be several: which?",
        cell,
        choices,
    )


def rows_of(grid: Grid, layout: TableLayout, known: KnownHere, settled: Settled) -> Iterator[TableRow]:
    """The rows of a table that say anything, without its head."""
    head = dict(zip(layout.columns, (cell.text for cell in grid.rows[0]), strict=True)) if layout.headed else {}
    for cells in grid.rows[int(layout.headed) :]:
        left_out = any(settled.get(cell.span.start) == LEFT_OUT for cell in cells)
        if left_out or all(says_nothing(cell.text) for cell in cells):
            continue
        by_role = {role: cell for role, cell in zip(layout.columns, cells, strict=True) if role != IGNORED}
        yield TableRow(by_role, layout, known, settled, head)


def sound(statement: str, cell: TableCell) -> str:
    """The statement itself. Raises BadRow where the notation cannot be read so."""
    _, problems = read_text(SourceFile("", statement))
    for problem in problems:
        if problem.severity is Severity.ERROR:
            raise BadRow(problem.headline, cell)
    return statement
