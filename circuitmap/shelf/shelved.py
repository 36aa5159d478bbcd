"""The platforms and job cards below a folder, as files: a folder with notation in it is a platform."""

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, NamedTuple

from circuitmap.failures import CannotRead, LimitReached
from circuitmap.notation.folder import ENDING, looks_like_second_version

CARD_ENDINGS = (".yaml", ".yml")
MOST_FOLDERS = 50_000
"""How many folders are looked into at most."""


class Stamp(NamedTuple):
    """What shows that a file is as it was when it was read: its name, its size, when it was last `written` and when
    anything about it last `changed`, in nanoseconds. All zero for a file that cannot be looked at."""

    name: str
    size: int
    written: int
    changed: int


@dataclass(frozen=True, slots=True)
class Shelved:
    """A platform's folder or a card's file, relative to the library's folder, with the stamps of its files."""

    kind: Literal["platform", "job"]
    path: str
    stamps: tuple[Stamp, ...]


@dataclass(frozen=True, slots=True)
class Shelf:
    """What is there. `second_versions` are files that a synchroniser put beside the real ones; they are never read as
    data."""

    items: tuple[Shelved, ...]
    second_versions: tuple[str, ...]
    unreadable: tuple[str, ...]


def shelf_of(root: Path) -> Shelf:
    """Walk everything below `root`; hidden folders and links to folders are left out.

    Raises CannotRead if there is no such folder or it cannot be read, LimitReached for more than `MOST_FOLDERS`.
    """
    if not root.is_dir():
        raise CannotRead(f"There is no folder {root}.")
    items: list[Shelved] = []
    second: list[str] = []
    unreadable: list[str] = []
    for count, (folder, files, error) in enumerate(_walk(root), 1):
        if count > MOST_FOLDERS:
            raise LimitReached(f"There are more than {MOST_FOLDERS:,} folders below {root}.")
        where = folder.relative_to(root).as_posix()
        if error:
            if folder == root:
                raise CannotRead(f"The folder {root} cannot be read.")
            unreadable.append(where)
            continue
        kept = [f for f in files if not looks_like_second_version(f.name)]
        second += [_join(where, f.name) for f in files if looks_like_second_version(f.name)]
        notation = tuple(_stamp(f) for f in kept if f.name.endswith(ENDING))
        if notation:
            items.append(Shelved("platform", where, notation))
        items += [Shelved("job", _join(where, f.name), (_stamp(f),)) for f in kept if f.name.endswith(CARD_ENDINGS)]
    return Shelf(tuple(sorted(items, key=lambda i: (i.kind, i.path))), tuple(sorted(second)), tuple(unreadable))


def _walk(root: Path) -> Iterator[tuple[Path, list[os.DirEntry[str]], bool]]:
    waiting = [root]
    while waiting:
        folder = waiting.pop()
        try:
            with os.scandir(folder) as entries:
                found = sorted((e for e in entries if not e.name.startswith(".")), key=lambda e: e.name)
            waiting += [Path(e.path) for e in reversed(found) if e.is_dir(follow_symlinks=False)]
            endings = (ENDING, *CARD_ENDINGS)
            yield folder, [e for e in found if e.name.endswith(endings) and _may_be_a_file(e)], False
        except OSError:
            yield folder, [], True


def _may_be_a_file(entry: os.DirEntry[str]) -> bool:
    """Whether an entry is a file, or a link that may lead nowhere: reading it will tell."""
    try:
        return entry.is_file()
    except OSError:
        return True


def _stamp(entry: os.DirEntry[str]) -> Stamp:
    try:
        status = entry.stat()
    except OSError:
        return Stamp(entry.name, 0, 0, 0)
    return Stamp(entry.name, status.st_size, status.st_mtime_ns, status.st_ctime_ns)


def _join(folder: str, name: str) -> str:
    return name if folder == "." else f"{folder}/{name}"
