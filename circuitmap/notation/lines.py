"""Cutting a file into statements: a line, and the indented lines below it.

Each statement is read on its own, so that one that cannot be read never spoils the next. An empty line ends a
statement; a line that holds nothing but a comment does not.
"""

import re
from collections.abc import Collection
from typing import NamedTuple

from circuitmap.source import SourceFile

LONGEST_STATEMENT = 10_000
"""Most characters in one statement, that is, in a line with the indented lines below it."""

_SKIPPED = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"|#[^\r\n]*')


class StatementText(NamedTuple):
    """Where a statement stands in its file: the offset of its first character and the one after its last, comments left
    out.

    `indented`: it begins with an indented line that has nothing above it to continue.
    """

    start: int
    end: int
    indented: bool = False


def statement_texts(source: SourceFile, skipped: Collection[int] = ()) -> list[StatementText]:
    """All statements of a file in order, broken ones as well; the lines in `skipped` neither end nor begin a
    statement."""
    text = source.text
    starts = source.line_starts
    found: list[StatementText] = []
    begun = -1
    indented = False
    end = 0
    for number, start in enumerate(starts):
        if number + 1 in skipped:
            continue
        stop = starts[number + 1] if number + 1 < len(starts) else len(text)
        code_start, code_end = _code_of(text, start, stop)
        if code_start == code_end:
            if begun >= 0 and _is_empty(text, start, stop):
                found.append(StatementText(begun, end, indented))
                begun = -1
            continue
        at_margin = code_start == start
        if begun >= 0 and at_margin:
            found.append(StatementText(begun, end, indented))
            begun = -1
        if begun < 0:
            begun, indented = code_start, not at_margin
        end = code_end
    if begun >= 0:
        found.append(StatementText(begun, end, indented))
    return found


def _code_of(text: str, start: int, stop: int) -> tuple[int, int]:
    """The stretch of one line without surrounding blanks and without a comment; empty when nothing is left."""
    line = text[start:stop]
    if "#" in line:
        line = line[: comment_start(line)]
    bare = line.rstrip(" \t\r\n")
    code_start = start + len(bare) - len(bare.lstrip(" \t"))
    return code_start, start + len(bare) if bare.strip(" \t") else code_start


def _is_empty(text: str, start: int, stop: int) -> bool:
    return not text[start:stop].strip(" \t\r\n")


def comment_start(line: str) -> int:
    """Where the comment of a line begins: the first `#` that is not inside a quoted text, else the line's length.

    A quote that is never closed hides nothing: a `#` after it begins a comment.
    """
    for match in _SKIPPED.finditer(line):
        if line[match.start()] == "#":
            return match.start()
    return len(line)
