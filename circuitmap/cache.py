"""Where this machine keeps, for this user, what can be made again at any time. Deleting it never changes an answer.

Only the user's own files are read from it: a file of somebody else, one that others may write to, a link, a pipe or
something larger than is ever kept counts as missing.
"""

import contextlib
import hashlib
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from circuitmap.failures import Failure
from circuitmap.plain_files import read_plain, real_path

LARGEST_KEPT = 64_000_000
"""Most bytes of one file in the cache."""
_OTHERS_MAY_WRITE = 0o022


def cache_folder() -> Path | None:
    """The folder of this user and machine, never on the shop's share; None where there is no place.

    The variable CIRCUITMAP_CACHE names another folder; set to an empty text it turns the cache off.
    """
    chosen = os.environ.get("CIRCUITMAP_CACHE")
    if chosen is not None:
        return Path(chosen) if chosen else None
    try:
        if sys.platform == "win32":
            base = os.environ.get("LOCALAPPDATA")
            return Path(base) / "circuitmap" if base else None
        return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "circuitmap"
    except RuntimeError:
        return None


def file_for(folder: Path, kind: str, about: Path, which: str = "") -> Path:
    """The file in the cache that belongs to a folder of the user's; `which` tells several of a kind apart."""
    said = f"{real_path(about)}\n{which}" if which else str(real_path(about))
    name = hashlib.sha256(said.encode("utf-8", "surrogateescape")).hexdigest()[:24]
    return folder / f"{kind}-{name}.json"


def kept(file: Path) -> bytes | None:
    """What this user kept in a file of the cache; None if there is nothing reliable."""
    try:
        content, status = read_plain(file, LARGEST_KEPT, follow=False)
    except (OSError, Failure):
        return None
    if hasattr(os, "geteuid") and (status.st_uid != os.geteuid() or status.st_mode & _OTHERS_MAY_WRITE):
        return None
    return content


def keep(file: Path, content: bytes, most: int | None = None) -> None:
    """Write a file of the cache, or go without: a cache that cannot be written never stops an answer. Only the latest
    `most` files of its kind are kept."""
    if len(content) > LARGEST_KEPT:
        return
    from circuitmap.saving import replace_private  # what is only read needs none of it

    with contextlib.suppress(OSError):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_private(file, content)
        if most is not None:
            kind = file.name.partition("-")[0]
            found = sorted(file.parent.glob(f"{kind}-*.json"), key=lambda one: one.lstat().st_mtime, reverse=True)
            for old in found[most:]:
                with contextlib.suppress(OSError):
                    old.unlink()


def sealed(key: str, body: bytes) -> bytes:
    """What is kept: its key and a checksum, then the body."""
    return f"{key} {hashlib.sha256(body).hexdigest()}\n".encode("ascii") + body


def unsealed(key: str, content: bytes) -> bytes | None:
    """The body that was kept under this key; None if it is another's, or damaged."""
    head, _, body = content.partition(b"\n")
    return body if head == f"{key} {hashlib.sha256(body).hexdigest()}".encode("ascii") else None


def code_stamps(*folders: str) -> Iterator[str]:
    """The name, size and time of each program file in these folders of the package: what another program worked out
    is worked out anew. The package itself is the folder without a name."""
    package = Path(__file__).parent
    for folder in folders:
        for entry in sorted(os.scandir(package / folder), key=lambda entry: entry.name):
            if entry.name.endswith(".py"):
                its = entry.stat()
                yield f"{entry.name} {its.st_size} {its.st_mtime_ns}\n"


class Drawer(NamedTuple):
    """Where on this machine, what is worked out of the text of a folder is kept; `key` is made of that text and of the
    program that reads it."""

    where: Path
    about: Path
    key: str

    def kept(self, kind: str, which: str, code: Sequence[str]) -> bytes | None:
        """What was worked out and kept, by the same code; `which` says what all it depends on besides the text."""
        found = kept(file_for(self.where, kind, self.about, which))
        return unsealed(self._key(which, code), found) if found is not None else None

    def keep(self, kind: str, which: str, code: Sequence[str], body: bytes, most: int) -> None:
        """Keep it for the next time, and of its kind only the latest `most`."""
        keep(file_for(self.where, kind, self.about, which), sealed(self._key(which, code), body), most)

    def _key(self, which: str, code: Sequence[str]) -> str:
        said = "\n".join((self.key, which, *code_stamps(*code)))
        return hashlib.sha256(said.encode("utf-8", "surrogateescape")).hexdigest()


class DrawerOf:
    """The drawer of a value that comes from the text of a folder; none, unless somebody names one."""

    def __init__(self, _value: object) -> None:
        self.drawer: Drawer | None = None
