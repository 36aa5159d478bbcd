"""Where this machine keeps, for this user, what can be made again at any time. Deleting it never changes an answer.

Only the user's own files are read from it: a file of somebody else, one that others may write to, a link, a pipe or
something larger than is ever kept counts as missing.
"""

import contextlib
import hashlib
import os
import sys
from pathlib import Path

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


def file_for(folder: Path, kind: str, about: Path) -> Path:
    """The file in the cache that belongs to a folder of the user's."""
    name = hashlib.sha256(str(real_path(about)).encode("utf-8", "surrogateescape")).hexdigest()[:24]
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
