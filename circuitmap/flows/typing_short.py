"""Short lines, tables and templates on the typing page: what comes out is the full notation, to go below the text of a
sheet. Nothing is written here, and what is not clear is asked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.flows.transcribing import TableWishes, confirmed_guess, read_table, table_lines, without_rows_that_stand
from circuitmap.flows.typing_desk import TriedText, TypingDesk
from circuitmap.notation.statements import WireStatement
from circuitmap.source import SourceFile
from circuitmap.transcribing.asked import LEFT_OUT, Question, Settled
from circuitmap.transcribing.columns import ROLES, Guess
from circuitmap.transcribing.grid import Grid
from circuitmap.transcribing.on_one_line import on_one_line
from circuitmap.transcribing.templates import template_lines
from circuitmap.transcribing.typed_lines import typed_text

LONGEST_TYPED = 20_000
"""Characters of short lines at once."""
LONGEST_TABLE = 200_000
"""Characters of a table."""
MOST_ABOVE = 200
"""Wires of the sheet that short lines may take something from."""


class PastedTable(NamedTuple):
    """A table as it was pasted, and what somebody said of it; no `columns`: nobody confirmed them yet."""

    text: str
    columns: Sequence[str] = ()
    headed: bool | None = None
    wishes: TableWishes = TableWishes()
    settled: Mapping[int, str] = {}


@dataclass(frozen=True)
class TypingShort:
    """All of it by what is on the page, written or not."""

    desk: TypingDesk

    def lines(self, key: str, its_key: str, text: str, typed: str, settled: Settled) -> dict[str, Any]:
        """Short lines as statements that go below the text; `settled` are answers by their offset in `typed`."""
        if len(typed) > LONGEST_TYPED:
            raise WrongUse(f"At most {LONGEST_TYPED:,} characters at once.")
        tried = self.desk.trial(key, its_key, text)
        above = _wires_above(tried)
        before = "".join(f"{line}\n" for line in above)
        shift = len(before)
        its = {shift + at: answer for at, answer in settled.items()}
        made = typed_text(SourceFile("typed", before + typed), tried.just_read.folder.known, its)
        asked = [question for question in made.questions if question.span.start >= shift]
        kept = len(above) - (len(made.questions) - len(asked))
        return {"lines": list(made.lines[kept:]), "questions": _asked(asked, shift)}

    def table(self, key: str, its_key: str, text: str, pasted: PastedTable) -> dict[str, Any]:
        """What the columns of a table are taken for; once they are confirmed, its rows as statements."""
        if len(pasted.text) > LONGEST_TABLE:
            raise WrongUse(f"A table has at most {LONGEST_TABLE:,} characters here.")
        folder = self.desk.trial(key, its_key, text).just_read.folder
        grid, guess = read_table(folder, SourceFile("pasted table", pasted.text))
        if not pasted.columns:
            guess = guess if pasted.headed is None else guess._replace(headed=pasted.headed)
            return {"table": _guessed(grid, guess), "lines": [], "questions": [], "there": []}
        guess = confirmed_guess(grid, guess, pasted.columns, pasted.headed)
        made = table_lines(folder, grid, guess, "pasted table", pasted.wishes, pasted.settled)
        made = without_rows_that_stand(folder, made)
        there = [f"{row.says} ({row.place})" for row in made.standing]
        asked = _asked(made.questions, 0)
        return {"table": _guessed(grid, guess), "lines": list(made.lines), "questions": asked, "there": there}

    def template(self, word: str, name: str) -> dict[str, Any]:
        """The lines of a template, to be filled in."""
        return {"lines": list(template_lines(word, name))}


def _wires_above(tried: TriedText) -> list[str]:
    """The wires of the sheet so far, each on one line."""
    piece = tried.piece
    wires = [
        statement
        for notation in tried.just_read.folder.notations
        if notation.path == piece.source.path
        for statement in notation.statements
        if isinstance(statement, WireStatement) and piece.start <= statement.span.start < piece.end
    ]
    return [on_one_line(statement.span) for statement in wires[-MOST_ABOVE:]]


def _guessed(grid: Grid, guess: Guess) -> dict[str, Any]:
    from circuitmap.reports.problems.table_text import guess_json

    return {**guess_json(grid, guess), "roles": list(dict.fromkeys(role for its in ROLES.values() for role in its))}


def _asked(questions: Sequence[Question], shift: int) -> list[dict[str, Any]]:
    from circuitmap.reports.bay.typed_there import question_values

    return [question_values(question, shift) for question in questions]


def settled_from(said: Mapping[str, str]) -> dict[int, str]:
    """Answers by their offset, as they come from a page: a row of a table that is left out has no text."""
    if not all(at.isdecimal() and len(at) < 10 for at in said):
        raise WrongUse("settled holds answers by the place they belong to.")
    return {int(at): answer or LEFT_OUT for at, answer in said.items()}
