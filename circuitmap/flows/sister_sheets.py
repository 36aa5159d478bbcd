"""The flow that tells which sheets only one of two sister platforms has: it finds the sister beside a platform."""

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from circuitmap.failures import Failure, WrongUse
from circuitmap.flows.questions import open_platform
from circuitmap.flows.transcribing import Folder
from circuitmap.transcribing.sister_sheets import SheetsOfOne, compared, origins_in, sheets_in_use
from circuitmap.wiring.platform import Platform

MOST_BESIDE = 100
"""Folders beside a platform that are looked through for its sisters."""


def sheets_of_one(folder: Folder, sister: Path | None = None) -> tuple[SheetsOfOne, ...]:
    """For each platform from which something is copied and not checked yet, and that lies beside this one: what only
    one of the two has. With `sister` for that one alone; raises CannotRead, or WrongUse where nothing is copied from
    it."""
    origins = set(origins_in(folder.notations))
    ours = sheets_in_use(folder.notations)
    if sister is not None:
        its = open_platform(sister)
        if origins and (its.name or sister.name) not in origins:
            raise WrongUse(f"Nothing is copied from {its.name or sister}.", f"From: {', '.join(sorted(origins))}.")
        return (_compared(ours, its, sister),)
    found = (_platform_if(path) for path in _beside(folder.path)) if origins else ()
    return tuple(_compared(ours, its, path) for path, its in filter(None, found) if (its.name or path.name) in origins)


def _compared(ours: Mapping[str, str], sister: Platform, path: Path) -> SheetsOfOne:
    return compared(sister.name or path.name, ours, {sheet.name: sheet.title for sheet in sister.sheets.values()})


def _beside(path: Path) -> Iterator[Path]:
    own = path.resolve()
    try:
        with os.scandir(own.parent) as entries:
            folders = sorted(entry.name for entry in entries if entry.is_dir() and not entry.name.startswith("."))
    except OSError:
        return  # whoever may not look beside it is told nothing of sisters
    yield from (own.parent / name for name in folders[:MOST_BESIDE] if name != own.name)


def _platform_if(path: Path) -> tuple[Path, Platform] | None:
    try:
        return path, open_platform(path)
    except Failure:
        return None  # not a platform, or none that can be read: nobody asked for it by name
