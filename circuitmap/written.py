"""What this run has written so far. If something goes wrong afterwards, these files still stand, and that has to be
said."""

from pathlib import Path

_written: list[str] = []


def note_written(path: Path) -> None:
    """Notes that a file is complete in its place."""
    _written.append(str(path))


def what_was_written() -> tuple[str, ...]:
    """The files, as they were called, in the order in which they were written."""
    return tuple(dict.fromkeys(_written))


def forget_what_was_written() -> None:
    """Begin a run."""
    _written.clear()
