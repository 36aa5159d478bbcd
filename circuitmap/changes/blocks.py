"""A file as sheets of blocks that can be moved one by one: a statement, with the comments and empty lines above it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from circuitmap.changes.statement_keys import without_comments, words_of
from circuitmap.failures import LimitReached
from circuitmap.notation.bounds import MOST_STATEMENTS

# Empty lines; lines with nothing but a comment; a line with part of a statement. A text that ends in a line end
# consists of nothing else.
_LINES = re.compile(r"((?:[ \t\r]*+\n)++)|((?:[ \t\r]*+#[^\n]*+\n)++)|([^\n]*+\n)")
_EMPTY, _COMMENT, _CODE = 1, 2, 3
_SHEET = re.compile(r"[ \t]*sheet(?![A-Za-z0-9_/+\-.])")


@dataclass(frozen=True, slots=True)
class StatementBlock:
    """The whole lines of a statement, and what stands between it and the one before (`above`)."""

    above: str
    text: str


@dataclass(frozen=True, slots=True)
class SheetSection:
    """What stands on one sheet: `heading` is its `sheet` statement, or None for what stands before the first one.

    `name` is its number in quotes. `tail` is what follows the last statement of the file, on its last sheet.
    """

    name: str
    heading: StatementBlock | None
    blocks: tuple[StatementBlock, ...]
    tail: str


def sections_of(text: str) -> list[SheetSection]:
    """A text whose lines all end in a line feed, cut up; all pieces joined in order give it back.

    The first section is always the one before the first sheet. Raises LimitReached for more than MOST_STATEMENTS.
    """
    found: list[SheetSection] = []
    heading: StatementBlock | None = None
    blocks: list[StatementBlock] = []
    tail = ""
    for count, block in enumerate(_blocks(text)):
        if count > MOST_STATEMENTS:
            raise LimitReached(f"A file of more than {MOST_STATEMENTS:,} statements is not merged by statement.")
        if not block.text:
            tail = block.above
        elif _SHEET.match(block.text):
            found.append(_section(heading, blocks, ""))
            heading, blocks = block, []
        else:
            blocks.append(block)
    found.append(_section(heading, blocks, tail))
    return found


def _section(heading: StatementBlock | None, blocks: list[StatementBlock], tail: str) -> SheetSection:
    return SheetSection(heading_name(heading.text) if heading else "", heading, tuple(blocks), tail)


def heading_name(text: str) -> str:
    """What a `sheet` statement calls the sheet, as it was typed."""
    return (*without_comments(words_of(text)), "")[1]


def _blocks(text: str) -> Iterator[StatementBlock]:
    """Each statement with what stands above it and, last, without a statement, what follows them all."""
    done = 0
    for start, end in _statement_lines(text):
        yield StatementBlock(text[done:start], text[start:end])
        done = end
    if done < len(text):
        yield StatementBlock(text[done:], "")


def statements_in(text: str) -> list[str]:
    """The whole lines of each statement, in order."""
    return [block.text for block in _blocks(text) if block.text]


def _statement_lines(text: str) -> Iterator[tuple[int, int]]:
    """The whole lines of each statement, as `notation.lines` cuts it; long runs of other lines cost one step."""
    begun = end = -1
    for match in _LINES.finditer(text):
        if match.lastindex == _COMMENT:
            continue
        if begun >= 0 and (match.lastindex == _EMPTY or text[match.start()] not in " \t"):
            yield begun, end
            begun = -1
        if match.lastindex == _CODE:
            if begun < 0:
                begun = match.start()
            end = match.end()
    if begun >= 0:
        yield begun, end


def needs_space_above(text: str) -> bool:
    """Whether a statement would be read as part of one right above it."""
    return text[:1] in (" ", "\t")
