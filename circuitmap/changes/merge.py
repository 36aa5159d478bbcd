"""Two people changed the same file: their changes are put together statement by statement.

What only one of them touched is taken as it is; what both added is kept; where both changed the same statement, its
items are merged one by one. What does not go together is left in the file between marks, at its place. Every statement
stays on its sheet, even if the sheet was renumbered, and comments are never lost.
"""

from dataclasses import dataclass

from circuitmap.changes.blocks import sections_of, statements_in
from circuitmap.changes.merged_sheets import merged_sheets
from circuitmap.changes.pieces import MIDDLE_MARK, OURS_MARK, THEIRS_MARK, Conflict, Writer
from circuitmap.failures import CannotRead
from circuitmap.notation.conflicts import conflicts_in
from circuitmap.source import SourceFile

_BYTE_ORDER_MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Merged:
    text: str
    conflicts: tuple[Conflict, ...]


def merge_files(base: str, ours: str, theirs: str) -> Merged:
    """Merge three texts of one file; `base` is what both started from, empty if both made the file anew.

    Line ends, a byte order mark and a last line without an end stay as they were, unless one side changed that. Raises
    CannotRead for a text with marks of an earlier merge, LimitReached for one with too many statements.
    """
    if theirs in (base, ours):
        return Merged(ours, ())
    if ours == base:
        return Merged(theirs, ())
    texts = tuple(_plain(text) for text in (base, ours, theirs))
    for name, text in zip(("the common state", "ours", "theirs"), texts, strict=True):
        _refuse_marks(name, text)
    writer = Writer()
    for piece in merged_sheets(*map(sections_of, texts)):
        writer.write(piece)
    text, conflicts = "".join(writer.parts), tuple(writer.conflicts)
    if statements_in("".join(writer.without_marks)) != writer.statements:
        # No known input leads here. If one does, both versions are kept for somebody to look at.
        text = f"{OURS_MARK}\n{texts[1]}{MIDDLE_MARK}\n{texts[2]}{THEIRS_MARK}\n"
        conflicts = (Conflict(1, "the whole file"),)
    return Merged(_as_written(text, bool(conflicts), base, ours, theirs), conflicts)


def _plain(text: str) -> str:
    """The text without a byte order mark, with all lines ended by a line feed."""
    plain = text.removeprefix(_BYTE_ORDER_MARK).replace("\r\n", "\n")
    return plain if not plain or plain.endswith("\n") else plain + "\n"


def _as_written(text: str, in_conflict: bool, *versions: str) -> str:
    """The merged text with the outer form that one side gave it, or that all had."""
    if not in_conflict and _agreed(*(_lacks_end(its) for its in versions)):
        text = text.removesuffix("\n")
    windows = [its for its in versions if "\n" in its]
    if windows and _agreed(*("\r\n" in (its if "\n" in its else windows[0]) for its in versions)):
        text = text.replace("\n", "\r\n")
    return _BYTE_ORDER_MARK * _agreed(*(its.startswith(_BYTE_ORDER_MARK) for its in versions)) + text


def _agreed(base: bool, ours: bool, theirs: bool) -> bool:
    return theirs if ours == base else ours


def _lacks_end(text: str) -> bool:
    return text not in ("", _BYTE_ORDER_MARK) and not text.endswith("\n")


def _refuse_marks(name: str, text: str) -> None:
    problems = conflicts_in(SourceFile("merge", text)).problems
    if problems:
        raise CannotRead(
            f"There are marks of an earlier merge in {name}, line {problems[0].span.line}; nothing was merged.",
            "Decide that conflict first.",
        )
