"""Places of a text as the protocol counts them: lines from 0, and in a line units of UTF-16 (Language Server Protocol
3.17, "Position" and "Text Documents"; from memory)."""

import re
from bisect import bisect_right
from functools import cached_property

from lsprotocol import types

from circuitmap.source import Span

_LINE_END = re.compile(r"\r\n|\n|\r")


class Lines:
    """The lines of one text. Characters beyond U+FFFF are two units."""

    def __init__(self, text: str) -> None:
        self.text = text

    @cached_property
    def _starts(self) -> list[int]:
        return [0, *(match.end() for match in _LINE_END.finditer(self.text))]

    def position(self, offset: int) -> types.Position:
        offset = min(max(offset, 0), len(self.text))
        line = bisect_right(self._starts, offset) - 1
        return types.Position(line, _units(self.text[self._starts[line] : offset]))

    def offset(self, position: types.Position) -> int:
        """The offset in the text; a place behind the end of a line is its end, one inside of a character its start."""
        if position.line >= len(self._starts):
            return len(self.text)
        start = self._starts[position.line]
        stop = self._starts[position.line + 1] if position.line + 1 < len(self._starts) else len(self.text)
        line = self.text[start:stop].rstrip("\r\n")
        units = 0
        for number, character in enumerate(line):
            units += 2 if ord(character) > 0xFFFF else 1
            if units > position.character:
                return start + number
        return start + len(line)

    def range(self, start: int, end: int) -> types.Range:
        return types.Range(self.position(start), self.position(end))


def range_of(span: Span) -> types.Range:
    return Lines(span.source.text).range(span.start, span.end)


def _units(text: str) -> int:
    return len(text) + sum(ord(character) > 0xFFFF for character in text)
