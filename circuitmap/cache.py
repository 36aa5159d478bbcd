"""Where this user's machine keeps what can be made again at any time. Deleting it never changes an answer."""

import contextlib
import hashlib
import os
import sys
from pathlib import Path

from circuitmap.failures import Failure
from circuitmap.saving import write_output


def cache_folder() -> Path | None:
    """The folder of this user and machine, never on the shop's share; None where there is no place.

    The variable CIRCUITMAP_CACHE names another folder; set to nothing it turns the cache off.
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
    name = hashlib.sha256(str(about.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:24]
    return folder / f"{kind}-{name}.json"


def keep(file: Path, content: bytes, most: int | None = None) -> None:
    """Write a file of the cache, or go without: a cache that cannot be written never stops an answer. Of its kind
    `most` files are kept, the latest."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_output(file, content, lasting=False)
        if most is not None:
            kind = file.name.partition("-")[0]
            kept = sorted(file.parent.glob(f"{kind}-*.json"), key=lambda one: one.stat().st_mtime, reverse=True)
            for old in kept[most:]:
                with contextlib.suppress(OSError):
                    old.unlink()
    except (OSError, Failure):
        return
