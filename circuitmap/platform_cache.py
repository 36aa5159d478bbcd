"""A platform as it was read last time, so that a folder nobody changed is not read again.

The key is the content of the files and the program's own code: an old answer to a new text, or by an old program, is
impossible. Anything damaged, or made by somebody else, is not used.
"""

import hashlib
import json
import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from circuitmap.cache import cache_folder, file_for, keep, kept
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

CACHE_VERSION = 1
MOST_KEPT = 40
LEAST_TEXT = 5_000
"""A platform is worth remembering from this many characters on: a shorter one is read as quickly."""


def remembered(folder: Path, sources: Sequence[SourceFile]) -> Platform | None:
    """The platform in these files, if it was read before; None if not."""
    where = cache_folder()
    if where is None or _length(sources) < LEAST_TEXT:
        return None
    from circuitmap.wiring.stored import restored

    content = kept(file_for(where, "platform", folder))
    if content is None:
        return None
    head, _, body = content.partition(b"\n")
    try:
        if head.decode("ascii") != f"{_key(sources)} {hashlib.sha256(body).hexdigest()}":
            return None
        return restored(json.loads(body), sources)
    except (ValueError, TypeError, KeyError, IndexError, RecursionError):
        return None


def remember(folder: Path, platform: Platform) -> None:
    """Keep a platform for the next time, or go without."""
    where = cache_folder()
    if where is None or _length(platform.sources) < LEAST_TEXT:
        return
    from circuitmap.wiring.stored import NotStorable, stored

    try:
        body = json.dumps(stored(platform), separators=(",", ":")).encode("ascii")
    except (NotStorable, ValueError, RecursionError):
        return
    head = f"{_key(platform.sources)} {hashlib.sha256(body).hexdigest()}\n".encode("ascii")
    keep(file_for(where, "platform", folder), head + body, MOST_KEPT)


def _length(sources: Sequence[SourceFile]) -> int:
    return sum(len(source.text) for source in sources)


def _key(sources: Sequence[SourceFile]) -> str:
    """The key, made of everything that decides what is read: the text, and the code that reads it."""
    said = hashlib.sha256(f"{CACHE_VERSION}\n".encode())
    for stamp in _code():
        said.update(stamp.encode())
    for source in sources:
        text = source.text.encode("utf-8", "surrogatepass")
        said.update(f"{source.path}\n{len(text)}\n".encode("utf-8", "surrogatepass"))
        said.update(text)
    return said.hexdigest()


def _code() -> Iterator[str]:
    """The name, size and time of each program file that has a part in reading."""
    package = Path(__file__).parent
    for folder in (package, package / "notation", package / "wiring", package / "wiring" / "checks"):
        for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
            if entry.name.endswith(".py"):
                its = entry.stat()
                yield f"{entry.name} {its.st_size} {its.st_mtime_ns}\n"
