"""A local index of a library: what was read stays known until its file changes. The text is the truth; the index can
be deleted at any time and is made again."""

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from circuitmap.cache import file_for, keep
from circuitmap.failures import Failure
from circuitmap.shelf.entry import Entry
from circuitmap.shelf.shelved import Shelf, Shelved

INDEX_VERSION = 3
Reader = Callable[[Shelved], Entry]


def entries_of(shelf: Shelf, root: Path, read: Reader, index_folder: Path | None) -> tuple[Entry, ...]:
    """An entry for everything on the shelf; only what changed since the last time is read.

    With `index_folder` None nothing is remembered. An item that cannot be read is an entry that says so.
    """
    known = _load(file_for(index_folder, "library", root)) if index_folder is not None else {}
    entries: list[Entry] = []
    remembered: dict[str, Any] = {}
    news = False
    for item in shelf.items:
        stamps = [list(stamp) for stamp in item.stamps]
        key = f"{item.kind} {item.path}"
        entry = _remembered(known.get(key), stamps)
        if entry is None:
            news = True
            entry = _read(item, read)
        entries.append(entry)
        remembered[key] = {"stamps": stamps, "entry": entry.as_json()}
    if index_folder is not None and (news or remembered.keys() != known.keys()):
        _store(file_for(index_folder, "library", root), remembered)
    return tuple(entries)


def _read(item: Shelved, read: Reader) -> Entry:
    try:
        return read(item)
    except Failure as failure:
        return Entry(item.kind, item.path, item.path, "", trouble=failure.message)


def _load(file: Path) -> Mapping[str, Any]:
    """What is remembered; nothing if there is no index, or it is broken or of another version."""
    try:
        data = json.loads(file.read_bytes())
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(data, dict) or data.get("index_version") != INDEX_VERSION:
        return {}
    items = data.get("items")
    return items if isinstance(items, dict) else {}


def _remembered(data: Any, stamps: list[list[Any]]) -> Entry | None:
    try:
        return Entry.from_json(data["entry"]) if data["stamps"] == stamps else None
    except (KeyError, TypeError, ValueError):
        return None


def _store(file: Path, items: Mapping[str, Any]) -> None:
    text = json.dumps({"index_version": INDEX_VERSION, "items": items}, sort_keys=True, separators=(",", ":"))
    keep(file, text.encode("ascii"))
