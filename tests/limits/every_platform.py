"""All hostile platforms, and those that are merely large."""

from pathlib import Path

from tests.limits.hostile import Hostile
from tests.limits.joining import JOINING
from tests.limits.ordinary import ORDINARY
from tests.limits.switching import SWITCHING

EVERY: tuple[Hostile, ...] = (*ORDINARY, *SWITCHING, *JOINING)


def write(hostile: Hostile, size: int, folder: Path) -> Path:
    """The platform at this size, as a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in hostile.files(size).items():
        (folder / name).write_text(text, "utf-8")
    return folder
