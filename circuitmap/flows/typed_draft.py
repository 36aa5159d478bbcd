"""Lines that are typed at a terminal, kept beside the platform until they are written: a file that no command reads as
notation, and that the next run offers to take up again."""

import re
from dataclasses import dataclass, field
from pathlib import Path

from circuitmap.failures import CannotWrite, Failure
from circuitmap.notation.folder import LARGEST_FILE
from circuitmap.saving import read_content, replace_private

ENDING = ".typed"


@dataclass
class TypedDraft:
    """What was typed for one sheet. `text` is kept, as far as the disk took it; `failure` says why it did not."""

    path: Path
    text: str = ""
    failure: str = field(default="", init=False)

    @property
    def count(self) -> int:
        """How many lines there are."""
        return len(self.text.splitlines())

    def keep(self, text: str) -> None:
        """Keep this in the place of what was kept before. That it cannot be kept stops nobody from typing."""
        if text == self.text and not self.failure:
            return
        self.text = text
        try:
            replace_private(self.path, text.encode())
            self.failure = ""
        except OSError as error:
            self.failure = error.strerror or str(error)

    def drop(self) -> None:
        """Forget it: it is written where it belongs. Raises CannotWrite."""
        self.text = ""
        try:
            self.path.unlink(missing_ok=True)
        except OSError as error:
            raise CannotWrite(f"{self.path} cannot be deleted: {error.strerror}. It is written already.") from None


def draft_for(folder: Path, sheet: str) -> TypedDraft:
    """What was typed for this sheet and never written, if anything was."""
    path = folder / f"{_plain(sheet)}{ENDING}"
    return TypedDraft(path, _text_in(path))


def free_draft_for(folder: Path, sheet: str) -> TypedDraft:
    """A draft beside those that are there already."""
    path, number = folder / f"{_plain(sheet)}{ENDING}", 1
    while path.exists():
        number += 1
        path = folder / f"{_plain(sheet)}-{number}{ENDING}"
    return TypedDraft(path)


def _plain(sheet: str) -> str:
    return re.sub(r"[^A-Za-z0-9_-]+", "-", sheet).strip("-") or "sheet"


def _text_in(path: Path) -> str:
    try:
        return (read_content(path, LARGEST_FILE) or b"").decode("utf-8", "replace")
    except Failure:
        return ""
