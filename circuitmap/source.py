"""Where a piece of text stands: files and the spans in them."""

import unicodedata
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import total_ordering


@dataclass(frozen=True, slots=True)
class SourceFile:
    """One notation file as it was read.

    `path` is relative to the platform's folder and uses `/`; `text` keeps its line ends, so that offsets
    are offsets into the file (after a byte order mark, if there was one).
    """

    path: str
    text: str = field(repr=False)
    _starts: list[int] = field(default_factory=list, repr=False, compare=False, hash=False)

    @property
    def line_starts(self) -> list[int]:
        """Offset of the first character of each line."""
        if not self._starts:
            self._starts.append(0)
            at = self.text.find("\n")
            while at >= 0:
                self._starts.append(at + 1)
                at = self.text.find("\n", at + 1)
        return self._starts

    def position(self, offset: int) -> tuple[int, int]:
        """Line and column, both counted from 1; the column counts characters."""
        line = bisect_right(self.line_starts, offset)
        return line, offset - self.line_starts[line - 1] + 1

    def line(self, number: int) -> str:
        """The text of a line, counted from 1, without its line end."""
        starts = self.line_starts
        end = starts[number] if number < len(starts) else len(self.text)
        return self.text[starts[number - 1] : end].rstrip("\r\n")


@total_ordering
@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a file: `start` up to, not including, `end`, as offsets."""

    source: SourceFile
    start: int
    end: int

    @property
    def path(self) -> str:
        return self.source.path

    @property
    def line(self) -> int:
        return self.source.position(self.start)[0]

    @property
    def column(self) -> int:
        return self.source.position(self.start)[1]

    @property
    def end_line(self) -> int:
        return self.source.position(self.end)[0]

    @property
    def end_column(self) -> int:
        return self.source.position(self.end)[1]

    @property
    def text(self) -> str:
        return self.source.text[self.start : self.end]

    def place(self) -> str:
        """`file:line:column`, as shown to people."""
        line, column = self.source.position(self.start)
        return f"{self.path}:{line}:{column}"

    def to(self, other: "Span") -> "Span":
        """From the start of this span to the end of `other`."""
        return Span(self.source, self.start, other.end)

    def __lt__(self, other: "Span") -> bool:
        return (self.path, self.start, self.end) < (other.path, other.start, other.end)


def display_width(text: str) -> int:
    """Columns that `text` takes in a terminal: wide characters two, combining ones none."""
    width = 0
    for character in text:
        if unicodedata.combining(character) or unicodedata.category(character) in ("Cf", "Mn", "Me"):
            continue
        width += 2 if unicodedata.east_asian_width(character) in "WF" else 1
    return width


def caret_line(line: str, column: int, end_column: int) -> str:
    """Carets below `line` from `column` up to, not including, `end_column`; tabs are kept so that they align."""
    before = "".join(c if c == "\t" else " " * display_width(c) for c in line[: column - 1])
    marked = max(1, display_width(line[column - 1 : end_column - 1]))
    return before + "^" * marked
