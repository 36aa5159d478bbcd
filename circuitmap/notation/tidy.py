"""A notation file with even spacing: the same statements in the same lines, every comment kept."""

from itertools import groupby
from typing import NamedTuple

from circuitmap.notation.characters import HIDDEN
from circuitmap.notation.lines import comment_start, statement_texts
from circuitmap.notation.older_wires import as_now_written
from circuitmap.notation.parser import Token, plain_tokens
from circuitmap.notation.reading import statements_and_soundness
from circuitmap.source import SourceFile, display_width

_INDENT = "    "
_WIDEST_ALIGNED = 100
"""Comments are aligned up to this column; after longer lines they follow at once."""

_NO_SPACE_BEFORE = frozenset((",", ")", "..", "]->"))
_NO_SPACE_BEHIND = frozenset(("(", "..", "-["))


class _Line(NamedTuple):
    """One line: tidied code, comment, and the column (from 0) where the comment stood after the code."""

    code: str
    comment: str
    column: int = 0
    as_it_was: str | None = None


def tidy(source: SourceFile) -> str:
    """The text of a file, tidied.

    A continuation line is indented by four blanks; words stand one blank apart (`closes` three, if it stood apart
    before); comments after neighbouring lines are aligned; more than two empty lines become two. Nothing is reordered,
    no line is broken or joined. A statement with anything wrong in it stays as it is. Lines end as the first line of
    the file does.
    """
    source = with_wires_as_now(source)
    line_end = "\r\n" if source.text.partition("\n")[0].endswith("\r") else "\n"
    unreadable = _unreadable_lines(source)
    lines = [_tidied(source.line(number), number in unreadable) for number in range(1, len(source.line_starts) + 1)]
    written: list[str] = []
    for commented, group in groupby(lines, key=lambda line: bool(line.code and line.comment)):
        neighbours = list(group)
        written += _aligned(neighbours) if commented else [_plain(line) for line in neighbours]
    text = line_end.join(_without_many_empty(written))
    return text + line_end if text else ""


def with_wires_as_now(source: SourceFile) -> SourceFile:
    """The file with wires of the older form rewritten in the present one; what cannot be read stays."""
    text: list[str] = []
    at = 0
    for place in statement_texts(source):
        written = source.text[place.start : place.end]
        changes = as_now_written(written) if not place.indented else []
        if not changes:
            continue
        turned: list[str] = []
        begin = 0
        for start, end, new in changes:
            turned += written[begin:start], new
            begin = end
        turned.append(written[begin:])
        now = "".join(turned)
        if all(sound for _, sound in statements_and_soundness(SourceFile(source.path, now))):
            text += source.text[at : place.start], now
            at = place.end
    return SourceFile(source.path, "".join(text) + source.text[at:]) if text else source


def _unreadable_lines(source: SourceFile) -> set[int]:
    """The numbers of the lines of statements that cannot be read, or in which something is wrong: with its blanks
    moved, something else might seem to be meant."""
    found: set[int] = set()
    for place, sound in statements_and_soundness(source):
        if not sound:
            first, last = source.position(place.start)[0], source.position(place.end)[0]
            found.update(range(first, last + 1))
    return found


def _tidied(line: str, unreadable: bool) -> _Line:
    if unreadable or HIDDEN.search(line):
        return _Line("", "", as_it_was=line)
    at = comment_start(line)
    code, comment = line[:at].strip(), line[at:].rstrip()
    indent = _INDENT if line[:1] in (" ", "\t") else ""
    if not code:
        return _Line("", indent + comment if comment else "")
    return _Line(indent + _spaced(plain_tokens(code)), comment, display_width(line[:at].expandtabs()))


def _spaced(tokens: list[Token]) -> str:
    text = ""
    before: Token | None = None
    for token in tokens:
        if before and token.text not in _NO_SPACE_BEFORE and before.text not in _NO_SPACE_BEHIND:
            text += "   " if token.text == "closes" and token.start > before.end + 1 else " "
        text += token.text
        before = token
    return text


def _aligned(lines: list[_Line]) -> list[str]:
    """Neighbouring lines with comments after them, all in one column: the rightmost that one of them needs or had."""
    columns = [display_width(line.code) + 2 for line in lines] + [line.column for line in lines]
    column = max((column for column in columns if column <= _WIDEST_ALIGNED), default=0)
    return [line.code + " " * max(2, column - display_width(line.code)) + line.comment for line in lines]


def _plain(line: _Line) -> str:
    return line.code + line.comment if line.as_it_was is None else line.as_it_was


def _without_many_empty(lines: list[str]) -> list[str]:
    """No empty lines at the beginning or the end, and at most two together."""
    kept: list[str] = []
    for line in lines:
        if line or (kept and any(kept[-2:])):
            kept.append(line)
    while kept and not kept[-1]:
        kept.pop()
    return kept
