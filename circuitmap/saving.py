"""Writing files so that nothing is torn, nothing is lost, and nobody's work is overwritten.

A file is written next to its final place, flushed to the disk and then moved over the old one in one step: a reader
sees all of the old text or all of the new. A save names the content it was based on; if the file holds something else
by then, nothing is written and `ChangedMeanwhile` is raised. Writers of one folder take turns (`one_writer.py`).

What must not be written stays as it is: a read-only file, a pipe, the target of a link outside the link's own folder.
"""

import contextlib
import os
import stat
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from circuitmap.failures import CannotRead, CannotWrite, Failure
from circuitmap.one_writer import CLAIM_NAME, LEFT_OVER_SUFFIX
from circuitmap.one_writer import alone_in as _alone_in
from circuitmap.plain_files import read_plain, real_path
from circuitmap.written import note_written

LARGEST_CONTENT = 10_000_000
"""Most bytes of a file that is read to be changed."""
REPLACE_TRIES = 8
"""On some systems a file cannot be replaced while a virus scanner or a synchroniser holds it; judgement."""


class ChangedMeanwhile(Failure):
    """The file is no longer what the change was made from; nothing was written."""

    exit_code = 3


def read_content(path: Path, most: int = LARGEST_CONTENT) -> bytes | None:
    """What a file holds now, or None if there is no such file. Raises CannotRead for anything but a plain file,
    LimitReached, before it is read, for one of more than `most` bytes."""
    try:
        return read_plain(path, most).content
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
    """Replace what a file holds by `change(what it holds now)`, alone among all writers of its folder.

    `change` may raise; then nothing is written. The content it was given is compared once more just before the move.
    """
    with _writing_errors(path):
        place = _place_of(path)
    with _alone_in(place.parent) as still_alone:
        now = read_content(place)
        content = change(now)
        if content == now:
            return
        _clear_left_overs(place)
        with _writing_errors(path):
            _replace(place, content, now, still_alone)
    note_written(path)


def begin_folder(path: Path) -> None:
    """Make a folder for what is to be written into it, if it is not there yet."""
    try:
        path.mkdir(exist_ok=True)
    except OSError as error:
        raise CannotWrite(f"The folder {path} cannot be made: {error.strerror}.") from None


def replace_unlocked(path: Path, content: bytes, based_on: bytes | None) -> None:
    """Like `save`, for a folder where no lock file may be left, such as git's. A change by others is noticed up to the
    moment before the move."""
    with _writing_errors(path):
        _replace(_place_of(path), content, based_on, lambda: True)
    note_written(path)


def write_output(path: Path, content: bytes) -> None:
    """Write a drawing, sheet or report that is made anew each time: whole or not at all, over what was there."""
    with _writing_errors(path):
        if path.is_dir():
            raise CannotWrite(f"{path} is a folder; give the name of a file.")
        if not path.parent.is_dir():
            raise CannotWrite(f"There is no folder {path.parent} to write {path.name} into.")
        if _takes_what_is_written(path):
            path.write_bytes(content)  # there is nothing to replace
        else:
            _move_into_place(_place_of(path), content, lambda: None)
    note_written(path)


def replace_private(path: Path, content: bytes) -> None:
    """Put a file that only this user can read in the place of whatever stands there, even a link or a pipe. It need not
    survive a power cut: whoever reads it checks that it is whole. Raises OSError."""
    temporary = _draft_of(path)
    try:
        with open(temporary, "xb", opener=lambda name, flags: os.open(name, flags, 0o600)) as file:
            file.write(content)
        _move(temporary, path)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise


# ---- what may be written ----


def _takes_what_is_written(path: Path) -> bool:
    """Whether a path is our own standard output, or a terminal or the like. Raises CannotWrite for any other pipe or
    device: nobody may ever read from it, and writing would wait for them."""
    try:
        status = path.stat()
    except FileNotFoundError:
        return False
    if _is_our_output(status):
        return True
    if stat.S_ISREG(status.st_mode) or path.is_symlink():
        return False
    if stat.S_ISCHR(status.st_mode):
        return True
    raise CannotWrite(f"{path} is a pipe or a device, not a file; nothing was written.")


def _is_our_output(status: os.stat_result) -> bool:
    try:
        return os.path.samestat(status, os.fstat(1))
    except OSError:
        return False


def _place_of(path: Path) -> Path:
    """The file that is to be replaced: `path`, or what it is a link to. Raises CannotWrite if that lies outside the
    folder of the link or may not be changed, OSError as the system does."""
    place, folder = real_path(path), real_path(path.parent)
    if path.is_symlink() and folder not in place.parents:
        raise CannotWrite(
            f"{path} is a link that leads out of its folder, to {place}; nothing was written.",
            "Name that file itself if it is meant.",
        )
    try:
        status = path.stat()
    except FileNotFoundError:
        return place
    if not stat.S_ISREG(status.st_mode):
        raise CannotWrite(f"{path} is not a file; nothing was written.")
    if not status.st_mode & 0o222 or not os.access(path, os.W_OK):
        raise CannotWrite(
            f"{path} is read-only; nothing was written.", "Allow writing if it is to change, or give another name."
        )
    return place


# ---- writing ----


def _replace(path: Path, content: bytes, based_on: bytes | None, still_alone: Callable[[], bool]) -> None:
    def still_the_same() -> None:
        if not still_alone():
            raise CannotWrite(f"Somebody else did not wait any longer for {path}; nothing was written.", "Try again.")
        if read_content(path) != based_on:
            raise ChangedMeanwhile(f"{path} was changed by somebody else in the meantime; nothing was written.")

    _move_into_place(path, content, still_the_same)


def _move_into_place(path: Path, content: bytes, just_before: Callable[[], None]) -> None:
    temporary = _draft_of(path)
    try:
        with open(temporary, "xb") as file:
            file.write(content)
            _keep_owner_and_mode(file.fileno(), path)
            file.flush()
            os.fsync(file.fileno())
        just_before()
        _move(temporary, path)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    _flush_folder(path.parent)


def _draft_of(path: Path) -> Path:
    return path.with_name(f".{path.name}.{os.getpid()}-{os.urandom(4).hex()}{LEFT_OVER_SUFFIX}")


def _keep_owner_and_mode(new: int, old: Path) -> None:
    """Give an open file the owner of the one at `old`, as far as the system allows it, or else at least its group."""
    if not hasattr(os, "fchown"):
        return
    try:
        before, now = old.stat(), os.fstat(new)
    except FileNotFoundError:
        return
    if (now.st_uid, now.st_gid) != (before.st_uid, before.st_gid):
        for owner in (before.st_uid, -1):
            with contextlib.suppress(OSError):
                os.fchown(new, owner, before.st_gid)
                break
    os.fchmod(new, stat.S_IMODE(before.st_mode) & 0o777)


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
    """Remove what writers of this file left when they were killed. Nobody else writes here now, and an hour's grace
    covers writers that do not take turns."""
    hour_ago = time.time() - 3600
    for pattern in (f".{_literal(path.name)}.*{LEFT_OVER_SUFFIX}", f"{CLAIM_NAME}.*{LEFT_OVER_SUFFIX}"):
        for left in path.parent.glob(pattern):
            with contextlib.suppress(OSError):
                if left.stat().st_mtime < hour_ago:
                    left.unlink()


def _literal(name: str) -> str:
    return "".join(f"[{c}]" if c in "*?[" else c for c in name)


@contextlib.contextmanager
def _writing_errors(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise CannotWrite(f"{path} cannot be written: {error.strerror}.") from None
