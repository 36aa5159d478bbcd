"""A local index of a library: what was read stays known until its file changes. The text is the truth; the index can be
deleted at any time and is then made again.

A file counts as unchanged while its size and its times are the same; whoever writes it cannot set back the time of its
last change of any kind (Windows has no such time). What changed only just now is read again next time: a second change
could follow before the clock of the disk has moved on.
"""

import json
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from circuitmap.cache import file_for, keep, kept
from circuitmap.failures import Failure
from circuitmap.shelf.entry import ShelfEntry
from circuitmap.shelf.shelved import Shelf, Shelved

INDEX_VERSION = 4
JUST_NOW = 3.0
"""Seconds; judgement: some disks tell times to two seconds."""
Reader = Callable[[Shelved], ShelfEntry]


def entries_of(shelf: Shelf, root: Path, read: Reader, index_folder: Path | None) -> tuple[ShelfEntry, ...]:
    """An entry for everything on the shelf; only what changed since the last time is read.

    With `index_folder` None nothing is remembered. An item that cannot be read is an entry that says so.
    """
    known = _load(file_for(index_folder, "library", root)) if index_folder is not None else {}
    entries: list[ShelfEntry] = []
    remembered: dict[str, Any] = {}
    news, now = False, time.time()
    for item in shelf.items:
        stamps = [list(stamp) for stamp in item.stamps]
        key = f"{item.kind} {item.path}"
        entry = _remembered(known.get(key), item, stamps)
        if entry is None:
            news = True
            entry = _read(item, read)
        entries.append(entry)
        if not _just_changed(item, now):
            remembered[key] = {"stamps": stamps, "entry": entry.as_json()}
    if index_folder is not None and (news or remembered.keys() != known.keys()):
        _store(file_for(index_folder, "library", root), remembered)
    return tuple(entries)


def _read(item: Shelved, read: Reader) -> ShelfEntry:
    try:
        return read(item)
    except Failure as failure:
        return ShelfEntry(item.kind, item.path, item.path, "", trouble=failure.message)


def _just_changed(item: Shelved, now: float) -> bool:
    return any(abs(now - max(stamp.written, stamp.changed) / 1e9) < JUST_NOW for stamp in item.stamps)


def _load(file: Path) -> Mapping[str, Any]:
    """What is remembered; empty if there is no index, or if it is broken, of another version or not this user's."""
    content = kept(file)
    if content is None:
        return {}
    try:
        data = json.loads(content)
    except (ValueError, RecursionError):
        return {}
    if not isinstance(data, dict) or data.get("index_version") != INDEX_VERSION:
        return {}
    items = data.get("items")
    return items if isinstance(items, dict) else {}


def _remembered(data: Any, item: Shelved, stamps: list[list[Any]]) -> ShelfEntry | None:
    """What is remembered of an item whose files are as they were; None for anything that is not an entry for it."""
    try:
        entry = ShelfEntry.from_json(data["entry"]) if data["stamps"] == stamps else None
    except (KeyError, TypeError, ValueError):
        return None
    return entry if entry is not None and (entry.kind, entry.path) == (item.kind, item.path) else None


def _store(file: Path, items: Mapping[str, Any]) -> None:
    text = json.dumps({"index_version": INDEX_VERSION, "items": items}, sort_keys=True, separators=(",", ":"))
    keep(file, text.encode("ascii"))
