"""A platform as it was read last time, so that a folder nobody changed is not read again.

The key is the content of the files and the program's own code: an old answer to a new text, or by an old program, is
impossible. Anything damaged, or made by somebody else, is not used.
"""

import hashlib
import json
from collections.abc import Sequence
from pathlib import Path

from circuitmap.cache import Drawer, DrawerOf, cache_folder, code_stamps, file_for, keep, kept, sealed, unsealed
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

CACHE_VERSION = 1
READ_BY = ("", "notation", "wiring", "wiring/checks")
"""The folders of the program that have a part in reading."""
MOST_KEPT = 40
LEAST_TEXT = 5_000
"""A platform is worth remembering from this many characters on: a shorter one is read as quickly."""


def remembered(folder: Path, sources: Sequence[SourceFile]) -> Platform | None:
    """The platform in these files, if it was read before; None if not."""
    drawer = _drawer(folder, sources)
    content = kept(file_for(drawer.where, "platform", folder)) if drawer is not None else None
    if drawer is None or content is None:
        return None
    from circuitmap.wiring.stored import restored

    try:
        body = unsealed(drawer.key, content)
        return None if body is None else _in_its_drawer(restored(json.loads(body), sources), drawer)
    except (ValueError, TypeError, KeyError, IndexError, RecursionError):
        return None


def remember(folder: Path, platform: Platform) -> None:
    """Keep a platform for the next time, or go without."""
    drawer = _drawer(folder, platform.sources)
    if drawer is None:
        return
    from circuitmap.wiring.stored import NotStorable, stored

    try:
        body = json.dumps(stored(platform), separators=(",", ":")).encode("ascii")
    except (NotStorable, ValueError, RecursionError):
        return
    keep(file_for(drawer.where, "platform", folder), sealed(drawer.key, body), MOST_KEPT)
    _in_its_drawer(platform, drawer)


def _in_its_drawer(platform: Platform, drawer: Drawer) -> Platform:
    """The platform, with where more that is worked out of it may be kept; a changed copy of it has no such place."""
    platform.derived(DrawerOf).drawer = drawer
    return platform


def _drawer(folder: Path, sources: Sequence[SourceFile]) -> Drawer | None:
    """Where what these files hold is kept; None where nothing is, or it is not worth it."""
    where = cache_folder()
    return Drawer(where, folder, _key(sources)) if where is not None and _length(sources) >= LEAST_TEXT else None


def _length(sources: Sequence[SourceFile]) -> int:
    return sum(len(source.text) for source in sources)


def _key(sources: Sequence[SourceFile]) -> str:
    """The key, made of everything that decides what is read: the text, and the code that reads it."""
    said = hashlib.sha256(f"{CACHE_VERSION}\n".encode())
    for stamp in code_stamps(*READ_BY):
        said.update(stamp.encode())
    for source in sources:
        text = source.text.encode("utf-8", "surrogatepass")
        said.update(f"{source.path}\n{len(text)}\n".encode("utf-8", "surrogatepass"))
        said.update(text)
    return said.hexdigest()
