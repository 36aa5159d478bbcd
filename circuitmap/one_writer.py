"""One writer at a time in a folder, even where locks do not lock.

A lock file makes the writers of one machine wait for each other, and the system releases it when a writer is killed. On
some shared and mounted folders such a lock is granted to everybody, or to nobody. So whoever has the lock also makes a
claim: a file that only one writer can create. A claim outlives a writer that is killed; it is taken away when that
writer is known to be dead, or when nothing has moved for a while. Just before writing, a writer makes sure that the
claim is still theirs: a claim that was taken away too early costs a second try, but no entry.
"""

import contextlib
import os
import stat
import time
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from circuitmap.failures import CannotWrite, Failure
from circuitmap.plain_files import read_plain

if TYPE_CHECKING:
    from filelock import FileLock

LOCK_NAME = ".circuitmap.lock"
CLAIM_NAME = ".circuitmap.writing"
LEFT_OVER_SUFFIX = ".unfinished"
LOCK_SECONDS = 30.0
SHORTEST_WAIT, LONGEST_WAIT = 0.03, 0.3
"""Seconds between two tries; judgement."""
CLAIM_SECONDS = 8.0
"""How long one and the same claim may stand before it is taken away; judgement: a change takes a second or two."""
_LARGEST_CLAIM = 1000


@contextlib.contextmanager
def alone_in(folder: Path) -> Iterator[Callable[[], bool]]:
    """Be the only writer in a folder. Yields a function to call just before writing: whether that is still so.

    Raises CannotWrite.
    """
    if not folder.is_dir():
        raise CannotWrite(f"There is no folder {folder}.")
    begun = time.monotonic()
    with _locked(folder, begun):
        claim = folder / CLAIM_NAME
        try:
            mine = _claimed(claim, begun)
        except OSError as error:
            raise CannotWrite(f"Nothing can be written in {folder}: {error.strerror}.") from None
        try:
            yield lambda: _said_in(claim) == mine
        finally:
            if _said_in(claim) == mine:
                with contextlib.suppress(OSError):
                    claim.unlink()


# ---- the lock: waiting without a crowd, and freed when a writer is killed ----


@contextlib.contextmanager
def _locked(folder: Path, begun: float) -> Iterator[None]:
    """Hold the lock file of a folder. Where there are no locks, or what stands in the lock file's place is not ours to
    open, the claim alone has to do."""
    from filelock import FileLock, Timeout

    path = folder / LOCK_NAME
    lock = FileLock(path) if _may_be_opened(path) else None
    try:
        if lock is not None:
            _wait_for(lock, begun)
    except Timeout:
        raise _waited_in_vain(folder, "Try again.") from None
    except (OSError, NotImplementedError):
        lock = None
    try:
        yield
    finally:
        if lock is not None:
            with contextlib.suppress(OSError):
                lock.release()


def _may_be_opened(path: Path) -> bool:
    """Whether a lock file is an empty file, as we leave it, or is yet to be made. Opening one empties it."""
    try:
        status = path.lstat()
    except OSError:
        return True
    return stat.S_ISREG(status.st_mode) and status.st_size == 0


def _wait_for(lock: "FileLock", begun: float) -> None:
    """Try for the lock until it is ours. Raises filelock's Timeout."""
    from filelock import Timeout

    tries = 0
    while True:
        try:
            lock.acquire(blocking=False)
            return
        except Timeout:
            left = LOCK_SECONDS - (time.monotonic() - begun)
            if left <= 0:
                raise
        tries += 1
        _wait(tries, left)


def _wait(tries: int, left: float) -> None:
    """Wait briefly at first, then longer, so that a crowd leaves the processor to the one who writes; one who has
    waited long tries more often again, so that latecomers do not get ahead."""
    time.sleep(max(SHORTEST_WAIT, min(SHORTEST_WAIT * tries, LONGEST_WAIT * left / LOCK_SECONDS)))


def _waited_in_vain(folder: Path, advice: str) -> CannotWrite:
    return CannotWrite(
        f"Somebody else has been writing in {folder} for {LOCK_SECONDS:.0f} seconds; nothing was written.", advice
    )


# ---- the claim: a file that only one can create ----


def _claimed(claim: Path, begun: float) -> bytes:
    """Make the claim ours, and return what it says. Raises OSError where no file can be made, CannotWrite after waiting
    in vain."""
    mine = _who_writes()
    seen: bytes | None = None
    seen_since, tries = begun, 0
    while not _create(claim, mine):
        theirs, now = _said_in(claim), time.monotonic()
        if theirs != seen:
            seen, seen_since = theirs, now
        gone = theirs is not None and (_is_dead(theirs) or now - seen_since > CLAIM_SECONDS)
        if gone and theirs is not None and _take_away(claim, theirs):
            continue
        left = LOCK_SECONDS - (now - begun)
        if left <= 0:
            raise _waited_in_vain(claim.parent, f"Try again; if nobody writes there, delete {claim}.")
        tries += 1
        _wait(tries, left)
    return mine


def _create(claim: Path, mine: bytes) -> bool:
    """Whether we were the one to create the claim. It is complete from the first moment on, because it is a second name
    for a complete file; where a file cannot have two names, it is written after it was created."""
    draft = _beside(claim)
    try:
        _write_new(draft, mine)
        try:
            os.link(draft, claim)
        except FileExistsError:
            return False
        except (OSError, AttributeError, NotImplementedError):
            try:
                _write_new(claim, mine)
            except FileExistsError:
                return False
        return True
    finally:
        with contextlib.suppress(OSError):
            draft.unlink()


def _write_new(path: Path, content: bytes) -> None:
    """A new file that everybody may read: whoever waits has to know whose it is."""
    with open(path, "xb") as file:
        file.write(content)
    with contextlib.suppress(OSError):
        path.chmod(0o644)


def _beside(claim: Path) -> Path:
    return claim.with_name(f"{claim.name}.{os.getpid()}-{os.urandom(4).hex()}{LEFT_OVER_SUFFIX}")


def _said_in(claim: Path) -> bytes | None:
    """What a claim says; None if there is none."""
    try:
        return read_plain(claim, _LARGEST_CLAIM, follow=False).content
    except FileNotFoundError:
        return None
    except PermissionError:
        return b""
    except (OSError, Failure):
        return b"a link, a pipe, a folder or something large: nothing that a writer makes"


def _take_away(claim: Path, judged: bytes) -> bool:
    """Remove a claim whose writer is gone, but not another one that took its place meanwhile."""
    if _said_in(claim) != judged:
        return False
    aside = _beside(claim)
    try:
        os.rename(claim, aside)
    except OSError:
        return False
    if _said_in(aside) != judged:
        with contextlib.suppress(OSError):
            os.link(aside, claim)
    with contextlib.suppress(OSError):
        if aside.is_dir() and not aside.is_symlink():
            aside.rmdir()
        else:
            aside.unlink()
    return True


def _who_writes() -> bytes:
    """The machine, the process and when it began, and a word that no other claim has."""
    return f"{_machine()} {os.getpid()} {_began(os.getpid())} {os.urandom(8).hex()}\n".encode()


@cache
def _machine() -> str:
    """This machine since it was started, and this process namespace on it: process numbers mean nothing elsewhere."""
    marks = [os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "")]
    with contextlib.suppress(OSError):
        marks.append(Path("/proc/sys/kernel/random/boot_id").read_text().strip())
        marks.append(os.readlink("/proc/self/ns/pid"))
    return "_".join("/".join(marks).split())


def _began(process: int) -> str:
    """When a process began, as its system counts; `0` where the system does not tell, empty if the process has
    ended."""
    try:
        after_name = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
        return "" if after_name[0] in "ZX" else after_name[19]
    except OSError:
        pass
    if os.name == "posix":  # on other systems, signal 0 is not just a question
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return ""
        except OSError:
            pass
    return "0"


def _is_dead(said: bytes) -> bool:
    """Whether the writer of a claim is known to have ended. A file that is not a claim of ours holds nobody up either,
    except an empty one, which somebody may just be writing."""
    words = said.decode("utf-8", "replace").split()
    if len(words) != 4 or not (words[1].isascii() and words[1].isdecimal() and len(words[1]) < 10):
        return bool(said)
    machine, process, began, _ = words
    now = _began(int(process))
    return machine == _machine() and (not now or (now != began and "0" not in (now, began)))
