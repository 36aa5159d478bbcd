"""What a merge writes: statements with their comments, and what is in conflict between marks, so that no statement is
read as part of the one above it."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.changes.blocks import StatementBlock, needs_space_above

OURS_MARK, MIDDLE_MARK, THEIRS_MARK = "<<<<<<< ours", "=======", ">>>>>>> theirs"

_EMPTY_LINE = re.compile(r"^[ \t\r]*\n", re.MULTILINE)


class Conflict(NamedTuple):
    """`line` in the merged text, counted from 1; `what` names the statement."""

    line: int
    what: str


class Marked(NamedTuple):
    """The two versions of what is in conflict, and its name."""

    ours: Sequence[StatementBlock]
    theirs: Sequence[StatementBlock]
    what: str


class Piece(NamedTuple):
    """A statement of the merged file, or what is in conflict in its place; either may be missing. `above` comes before
    it."""

    above: str
    text: str = ""
    marked: Marked | None = None


class Writer:
    """The merged text in `parts`, and once more without the marks, as it is to be read; `statements` are those that
    were written."""

    def __init__(self) -> None:
        self.parts: list[str] = []
        self.without_marks: list[str] = []
        self.statements: list[str] = []
        self.conflicts: list[Conflict] = []
        self._line = 1
        self._goes_on = False

    def write(self, piece: Piece) -> None:
        self._block(piece.above, piece.text)
        if piece.marked is not None:
            self._conflict(piece.marked)

    def _block(self, above: str, text: str) -> None:
        """`_goes_on`: an indented line would be read as part of the statement above."""
        if above:
            self._add(above)
            self._goes_on = self._goes_on and not _EMPTY_LINE.search(above)
        if text:
            if self._goes_on and needs_space_above(text):
                self._add("\n")
            self._add(text)
            self.statements.append(text)
            self._goes_on = True

    def _conflict(self, marked: Marked) -> None:
        sides = (marked.ours, marked.theirs)
        if self._goes_on and any(needs_space_above(block.text) for side in sides for block in side[:1]):
            self._block("\n", "")
        self.conflicts.append(Conflict(self._line, marked.what))
        before = goes_on = self._goes_on
        for mark, side in zip((OURS_MARK, MIDDLE_MARK), sides, strict=True):
            self._mark(mark)
            self.without_marks.append("\n" * (mark == MIDDLE_MARK))  # only one of the versions will stay
            self._goes_on = before
            for block in side:
                self._block(block.above, block.text)
            goes_on = goes_on or self._goes_on
        self._mark(THEIRS_MARK)
        self._goes_on = goes_on

    def _mark(self, mark: str) -> None:
        self.parts.append(f"{mark}\n")
        self._line += 1

    def _add(self, text: str) -> None:
        self.parts.append(text)
        self.without_marks.append(text)
        self._line += text.count("\n")
