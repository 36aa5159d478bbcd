"""A platform watched while somebody types in an editor of their own: what each save made wrong or right, and the
drawing of the sheet that was saved."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from circuitmap.failures import Failure
from circuitmap.flows.reread import JustRead, Rereading
from circuitmap.flows.sheet_pictures import SheetPictures
from circuitmap.flows.stamps import stamps_of
from circuitmap.problems import Problem
from circuitmap.saving import write_output
from circuitmap.wiring.names import find_name

LOOK_SECONDS = 0.2
"""How often the times of the files are looked at. What changed is read once it stayed the same for one more look: many
programs save in several steps."""


class SeenSave(NamedTuple):
    """What a save changed: problems that are `new`, how many are `gone`, all there are now, the file that was drawn, if
    any was, and why the folder could not be read, or the sheet not be drawn."""

    new: tuple[Problem, ...] = ()
    gone: int = 0
    problems: tuple[Problem, ...] = ()
    drawn: str = ""
    trouble: str = ""


@dataclass
class Watching:
    """`output` is where the drawing goes, None: nowhere; `sheet`: always this one, else the one that was saved last."""

    folder: Path
    output: Path | None = None
    sheet: str = ""
    pictures: SheetPictures = field(default_factory=SheetPictures)
    _before: JustRead | None = None
    _stamps: str = ""
    _reading: Rereading = field(init=False)

    def __post_init__(self) -> None:
        self._reading = Rereading(self.folder)

    def watch(self, tell: Callable[[SeenSave], None], wait: Callable[[float], None]) -> None:
        """Tell of the first look and of each save, until something ends it from outside."""
        last = ""
        while True:
            stamps = stamps_of(self.folder)
            if stamps == last != self._stamps:
                self._stamps = stamps
                tell(self.look())
            last = stamps
            wait(LOOK_SECONDS)

    def look(self) -> SeenSave:
        """Read what changed, compare it with the last look, and draw."""
        try:
            now = self._reading.on_disk()
        except Failure as failure:
            return SeenSave(trouble=" ".join(filter(None, (failure.message, failure.advice))))
        before, self._before = self._before, now
        told = {(its.code, its.headline) for its in before.problems} if before is not None else set()
        there = {(its.code, its.headline) for its in now.problems}
        new = tuple(its for its in now.problems if (its.code, its.headline) not in told)
        seen = SeenSave(new, len(told - there), now.problems)
        try:
            return seen._replace(drawn=self._drawn(before, now))
        except Failure as failure:
            return seen._replace(trouble=failure.message)

    def _drawn(self, before: JustRead | None, now: JustRead) -> str:
        platform = now.folder.platform
        if self.output is None:
            return ""
        sheet = find_name(platform.sheets, self.sheet, "sheet") if self.sheet else _saved_last(before, now)
        if not sheet:
            return ""
        content = self.pictures.file(now.bench, sheet, self.output.suffix[1:].lower())
        write_output(self.output, content)
        return f"sheet {sheet} in {self.output}"


def _saved_last(before: JustRead | None, now: JustRead) -> str:
    """The first sheet whose text is not what it was; at the first look the first of all."""
    old = set() if before is None else {(*its.name, its.text) for its in before.pieces}
    return next((its.sheet for its in now.pieces if its.sheet and (*its.name, its.text) not in old), "")
