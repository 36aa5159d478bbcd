"""A platform begun from a sister: each statement marked as `copied` until somebody has checked it against the paper."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitmap.notation.parser import plain_tokens
from circuitmap.notation.statements import (
    ColoursStatement,
    NamingStatement,
    Notation,
    PlatformStatement,
    SheetStatement,
    Statement,
)
from circuitmap.source import SourceFile, Span
from circuitmap.transcribing.on_sheet import quoted

_NEVER_MARKED = (PlatformStatement, NamingStatement, ColoursStatement)
NOT_THERE = "# not on this vehicle: "


class Unchecked(NamedTuple):
    """A statement with its mark: `said` is what it says without it, `origin` what it was copied from."""

    span: Span
    sheet: str
    said: str
    origin: str


def begun_from(source: SourceFile, notation: Notation, name: str, origin: str) -> str:
    """A file of a sister platform as it begins the platform `name`: every statement marked, no sheet said to be
    whole."""
    changes: list[tuple[int, int, str]] = []
    for statement in notation.statements:
        span = statement.span
        if isinstance(statement, PlatformStatement):
            changes.append((statement.name.span.start, statement.name.span.end, quoted(name)))
            changes.append((span.end, span.end, f"  # copied from {' '.join(origin.split())}: check all of this line"))
        elif isinstance(statement, SheetStatement):
            changes += [(start, end, "") for start, end in _words(span, "whole")]
        elif not isinstance(statement, NamingStatement | ColoursStatement) and statement.clauses.copied is None:
            changes.append((span.end, span.end, f" copied {quoted(origin)}"))
    return _changed(source.text, changes)


def marks_pushed_down(source: SourceFile, notation: Notation) -> str:
    """The same text with the mark of a sheet at each of its statements instead, so that they can be checked one by
    one."""
    changes: list[tuple[int, int, str]] = []
    of_sheet = ""
    for statement in notation.statements:
        if isinstance(statement, SheetStatement):
            of_sheet = statement.clauses.copied.text if statement.clauses.copied else ""
            changes += [(start, end, "") for start, end in _mark_in(statement.span)]
        elif of_sheet and not isinstance(statement, _NEVER_MARKED) and statement.clauses.copied is None:
            changes.append((statement.span.end, statement.span.end, f" copied {quoted(of_sheet)}"))
    return _changed(source.text, changes)


def unchecked_in(notations: Iterable[Notation], sheet: str | None = None) -> Iterator[Unchecked]:
    """All statements that are marked, by file and place; only those of one sheet if it is given."""
    for notation in notations:
        its_sheet = ""
        for statement in notation.statements:
            if isinstance(statement, SheetStatement):
                its_sheet = statement.name.text
            elif (copied := copied_from(statement)) and sheet in (None, its_sheet):
                yield Unchecked(statement.span, its_sheet, without_mark(statement.span), copied)


def without_mark(span: Span) -> str:
    """What a statement says without its mark; its lines stay as they are."""
    text = span.text
    for start, end in reversed(list(_mark_in(span))):
        text = text[: start - span.start] + text[end - span.start :]
    return text


def replaced(span: Span, text: str) -> str:
    """The text of the file with something else in the place of a statement."""
    return span.source.text[: span.start] + text + span.source.text[span.end :]


def as_not_there(said: str) -> str:
    """A statement that does not hold for this vehicle, kept as a remark."""
    return "\n".join(f"{NOT_THERE}{line.strip()}" for line in said.splitlines() if line.strip())


def copied_from(statement: Statement) -> str:
    """What a statement says of where it was copied from; empty where it says nothing."""
    word = None if isinstance(statement, _NEVER_MARKED) else statement.clauses.copied
    return word.text if word is not None else ""


def _mark_in(span: Span) -> Iterator[tuple[int, int]]:
    """Where `copied` and the text behind it stand, with the blanks before them."""
    tokens = plain_tokens(span.text)
    for number, token in enumerate(tokens[:-1]):
        if token.text == "copied" and tokens[number + 1].text.startswith('"'):
            before = tokens[number - 1].end if number else 0
            yield span.start + before, span.start + tokens[number + 1].end


def _words(span: Span, word: str) -> Iterator[tuple[int, int]]:
    tokens = plain_tokens(span.text)
    for number, token in enumerate(tokens):
        if token.text == word and number:
            yield span.start + tokens[number - 1].end, span.start + token.end


def _changed(text: str, changes: list[tuple[int, int, str]]) -> str:
    for start, end, new in sorted(changes, reverse=True):
        text = text[:start] + new + text[end:]
    return text
