"""Reading a file that somebody else may have put there: never more of it than a limit, never a pipe or a device.

Waiting for a pipe might never end, a device has no end, and a file that grows while it is read is cut off as well.
"""

import os
import stat
from pathlib import Path
from typing import IO, NamedTuple

from circuitmap.failures import CannotRead, LimitReached

_AT_ONCE = getattr(os, "O_NONBLOCK", 0)
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)


class PlainFile(NamedTuple):
    """What a file holds, and what the system says of the very file that was read."""

    content: bytes
    status: os.stat_result


def read_plain(path: Path, most: int, *, follow: bool = True) -> PlainFile:
    """Reads a plain file of at most `most` bytes; its size is looked at before anything is read.

    Without `follow` a link in its place is refused. Raises OSError as the system does, CannotRead for anything but a
    plain file, LimitReached for a larger one.
    """
    extra = _AT_ONCE if follow else _AT_ONCE | _NO_LINK
    with open(path, "rb", opener=lambda name, flags: os.open(name, flags | extra)) as file:
        status = os.fstat(file.fileno())
        if not stat.S_ISREG(status.st_mode):
            raise CannotRead(f"{path} is not a file.")
        content = file.read(most + 1) if status.st_size <= most else None
    if content is None or len(content) > most:
        raise LimitReached(f"{path} is larger than {most:,} bytes.")
    return PlainFile(content, status)


def open_plain(path: Path, most: int) -> IO[bytes]:
    """Opens a plain file of at most `most` bytes, for what is too large to be held as a whole; raises as `read_plain`
    does. Whoever reads on while it grows has a limit of their own."""
    file = open(path, "rb", opener=lambda name, flags: os.open(name, flags | _AT_ONCE))  # noqa: SIM115
    status = os.fstat(file.fileno())
    if stat.S_ISREG(status.st_mode) and status.st_size <= most:
        return file
    file.close()
    if not stat.S_ISREG(status.st_mode):
        raise CannotRead(f"{path} is not a file.")
    raise LimitReached(f"{path} is larger than {most:,} bytes.")


def real_path(path: Path) -> Path:
    """Where a path leads, links followed. Links that lead in a circle stay as they are; opening them then fails."""
    return Path(os.path.realpath(path))
