"""Writing files so that nothing is torn, nothing is lost, and nobody's work is overwritten.

A file is written next to its final place, flushed to the disk and then moved over the old one in one step: whoever
reads sees all of the old text or all of the new. A save names the content it was based on; if the file holds something
else by then, nothing is written and `ChangedMeanwhile` is raised. A lock file in the folder makes writers on one
machine wait for each other; on a shared folder, where locks are not reliable, the comparison still holds.
"""

import contextlib
import os
import stat
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from circuitmap.failures import CannotRead, Failure

if TYPE_CHECKING:
    from filelock import FileLock

LOCK_NAME = ".circuitmap.lock"
LEFT_OVER_SUFFIX = ".unfinished"
LOCK_SECONDS = 30.0
SHORTEST_WAIT, LONGEST_WAIT = 0.03, 0.3
"""Seconds between two tries for the lock; judgement."""
REPLACE_TRIES = 8
"""On some systems a file cannot be replaced while a virus scanner or a synchroniser holds it; judgement."""


class CannotWrite(CannotRead):
    """A file or its folder cannot be written."""


class ChangedMeanwhile(Failure):
    """The file is no longer what the change was made from; nothing was written."""

    exit_code = 3


def read_content(path: Path) -> bytes | None:
    """What a file holds now, or None if there is no such file. Raises CannotRead for anything but a plain file."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise CannotRead(f"{path} is not a file.")
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise CannotRead(f"{path} cannot be read: {error.strerror}.") from None


def save(path: Path, content: bytes, based_on: bytes | None) -> None:
    """Write `content` if the file still holds `based_on` (None: if it still does not exist).

    Raises ChangedMeanwhile, or CannotWrite with the reason.
    """

    def change(now: bytes | None) -> bytes:
        if now != based_on:
            raise ChangedMeanwhile(
                f"{path} was changed by somebody else in the meantime; nothing was written.",
                "Look at the file again and repeat the change.",
            )
        return content

    update(path, change)


def update(path: Path, change: Callable[[bytes | None], bytes]) -> None:
    """Replace what a file holds by `change(what it holds now)`, alone among all writers of its folder on this machine.

    `change` may raise, then nothing is written. What it was given is compared once more just before the move.
    """
    path = path.resolve()
    with _alone_in(path.parent):
        now = read_content(path)
        content = change(now)
        if content == now:
            return
        _clear_left_overs(path)
        with _writing_errors(path):
            _replace(path, content, now)


def replace_unlocked(path: Path, content: bytes, based_on: bytes | None) -> None:
    """As `save`, for a folder where no lock file may be left, such as git's. A change is noticed up to the moment
    before the move."""
    with _writing_errors(path):
        _replace(path.resolve(), content, based_on)


def write_output(path: Path, content: bytes, *, lasting: bool = True) -> None:
    """Write a drawing, sheet or report that is made anew each time: whole or not at all, over what was there.

    `lasting` False: it need not survive a power cut, and whoever reads it looks whether it is whole.
    """
    if path.is_dir():
        raise CannotWrite(f"{path} is a folder; give the name of a file.")
    if not path.parent.is_dir():
        raise CannotWrite(f"There is no folder {path.parent} to write {path.name} into.")
    with _writing_errors(path):
        if path.exists() and not path.is_file():
            path.write_bytes(content)  # a device such as /dev/stdout: there is nothing to replace
            return
        _move_into_place(path.resolve(), content, lambda: None, lasting)


def _replace(path: Path, content: bytes, based_on: bytes | None) -> None:
    def still_the_same() -> None:
        if read_content(path) != based_on:
            raise ChangedMeanwhile(f"{path} was changed by somebody else in the meantime; nothing was written.")

    _move_into_place(path, content, still_the_same)


def _move_into_place(path: Path, content: bytes, just_before: Callable[[], None], lasting: bool = True) -> None:
    temporary = path.with_name(f".{path.name}.{os.getpid()}-{os.urandom(4).hex()}{LEFT_OVER_SUFFIX}")
    mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else None
    try:
        with open(temporary, "xb") as file:
            file.write(content)
            if lasting:
                file.flush()
                os.fsync(file.fileno())
        if mode is not None:
            os.chmod(temporary, mode)
        just_before()
        _move(temporary, path)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    if lasting:
        _flush_folder(path.parent)


def _move(temporary: Path, path: Path) -> None:
    for attempt in range(REPLACE_TRIES):
        try:
            os.replace(temporary, path)
            return
        except PermissionError:
            if attempt == REPLACE_TRIES - 1 or os.name != "nt":
                raise
            time.sleep(0.05 * 2**attempt)


def _flush_folder(folder: Path) -> None:
    """Make the move itself survive a power cut; not every system lets a folder be opened."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _clear_left_overs(path: Path) -> None:
    """Remove what writers of this file left when they were killed; the lock says that none is at work here, and
    an hour's grace covers other machines on a shared folder."""
    hour_ago = time.time() - 3600
    for left in path.parent.glob(f".{_literal(path.name)}.*{LEFT_OVER_SUFFIX}"):
        with contextlib.suppress(OSError):
            if left.stat().st_mtime < hour_ago:
                left.unlink()


def _literal(name: str) -> str:
    return "".join(f"[{c}]" if c in "*?[" else c for c in name)


def _wait_for(lock: "FileLock") -> None:
    """Try for the lock soon, then seldom, so that a crowd leaves the processor to the one who writes; who has waited
    long tries more often again, so that those who come later do not get ahead of him. Raises filelock's Timeout."""
    from filelock import Timeout

    begun, tries = time.monotonic(), 0
    while True:
        try:
            lock.acquire(blocking=False)
            return
        except Timeout:
            left = LOCK_SECONDS - (time.monotonic() - begun)
            if left <= 0:
                raise
        tries += 1
        time.sleep(max(SHORTEST_WAIT, min(SHORTEST_WAIT * tries, LONGEST_WAIT * left / LOCK_SECONDS)))


@contextlib.contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    from filelock import FileLock, Timeout

    if not folder.is_dir():
        raise CannotWrite(f"There is no folder {folder}.")
    lock = FileLock(folder / LOCK_NAME)
    try:
        _wait_for(lock)
    except Timeout:
        raise CannotWrite(
            f"Somebody else has been writing in {folder} for {LOCK_SECONDS:.0f} seconds; nothing was written.",
            "Try again.",
        ) from None
    except OSError as error:
        raise CannotWrite(f"Nothing can be written in {folder}: {error.strerror}.") from None
    try:
        yield
    finally:
        lock.release()


@contextlib.contextmanager
def _writing_errors(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise CannotWrite(f"{path} cannot be written: {error.strerror}.") from None
