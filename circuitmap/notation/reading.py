"""From the text of a file to its statements: every problem in one run, each once."""

from lark import UnexpectedInput
from lark.utils import TextSlice

from circuitmap.notation.characters import HIDDEN, hidden_characters
from circuitmap.notation.lines import StatementText, statement_texts
from circuitmap.notation.mending import LONGEST_STATEMENT, mend
from circuitmap.notation.parser import statement_parser
from circuitmap.notation.statements import Notation, Statement, Word
from circuitmap.notation.transformer import StatementMaker
from circuitmap.problems import Problem, Severity, in_order
from circuitmap.source import SourceFile, Span

MOST_UNREADABLE = 300
"""Most statements of one file whose faults are told; a file with more is not notation."""


def read_text(source: SourceFile) -> tuple[Notation, tuple[Problem, ...]]:
    """All statements of a file in their order, and what could not be read or does not make sense.

    A statement that cannot be read is left out; it never changes how the others are read.
    """
    problems: list[Problem] = []
    statements: list[Statement] = []
    unread: list[Word] = []
    maker = StatementMaker(source, problems)
    if HIDDEN.search(source.text):
        problems.extend(hidden_characters(source))
    unreadable = 0
    for place in statement_texts(source):
        if place.indented:
            problems.append(_indented(source, place))
        if place.end - place.start <= LONGEST_STATEMENT:
            try:
                tree = statement_parser().parse(TextSlice(source.text, place.start, place.end))
            except UnexpectedInput:
                pass
            else:
                statements.append(maker.statement(tree, place.start, place.end))
                continue
        unreadable += 1
        if unreadable > MOST_UNREADABLE:
            problems.append(_too_many(source, place))
            break
        mended = mend(source, place)
        problems.extend(mended.problems)
        unread.extend(mended.unread)
        statements.extend(maker.statement(tree, start, end) for tree, start, end in mended.trees)
    return Notation(path=source.path, statements=tuple(statements), unread=tuple(unread)), in_order(problems)


def _indented(source: SourceFile, place: StatementText) -> Problem:
    line_end = source.text.find("\n", place.start)
    end = place.end if line_end < 0 else min(place.end, line_end)
    return Problem(
        "indented-line",
        Severity.ERROR,
        "This line is indented, but there is no statement above that it could continue.",
        Span(source, place.start, end),
        advice="Begin it at the margin. An empty line ends a statement.",
    )


def _too_many(source: SourceFile, place: StatementText) -> Problem:
    return Problem(
        "too-many-faults",
        Severity.ERROR,
        f"More than {MOST_UNREADABLE} statements of this file cannot be read; from here on it is not read.",
        Span(source, place.start, place.start + 1),
        advice="Is this a file of notation?",
    )
