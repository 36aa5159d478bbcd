"""The shop's shelf as text and as data."""

from collections.abc import Iterator, Sequence
from typing import Any

from circuitmap.reports.words.paragraphs import counted, section, wrapped
from circuitmap.shelf.finding import ShelfMatch
from circuitmap.shelf.shelved import Shelf

_MOST_MATCHES = 6


def library_text(found: Sequence[ShelfMatch], shelf: Shelf, words: str) -> list[str]:
    """Platforms, then jobs, each with what was found in it; then the files that were passed over."""
    lines: list[str] = []
    if not found:
        lines.append(f"Nothing here has {words!r} in it." if words else "There is no platform and no job here.")
    for kind, noun in (("platform", "PLATFORMS"), ("job", "JOBS")):
        its = [one for one in found if one.entry.kind == kind]
        if its:
            lines += ["", noun, *(line for one in its for line in _lines(one))]
    second = [f"{path}: looks like a second version of another file." for path in shelf.second_versions]
    unread = [f"{path}: this folder cannot be read." for path in shelf.unreadable]
    return [line for line in [*lines, *section("NOT READ", [*second, *unread])] if line or lines][lines[:1] == [""] :]


def library_json(found: Sequence[ShelfMatch], shelf: Shelf) -> dict[str, Any]:
    return {
        "found": [
            {
                "kind": one.entry.kind,
                "path": one.entry.path,
                "title": one.entry.title,
                "line": one.entry.line,
                "trouble": one.entry.trouble,
                "matches": [{"what": m.what, "name": m.name, "says": m.says} for m in one.matches],
            }
            for one in found
        ],
        "second_versions": list(shelf.second_versions),
        "unreadable": list(shelf.unreadable),
    }


def _lines(one: ShelfMatch) -> Iterator[str]:
    entry = one.entry
    yield from wrapped(f"{entry.path}: {entry.title}", " ")
    yield from wrapped(entry.trouble or entry.line, "     ")
    for match in one.matches[:_MOST_MATCHES]:
        says = f", {match.says}" if match.says else ""
        yield f"     {match.what} {match.name}{says}"
    left = len(one.matches) - _MOST_MATCHES
    if left > 0:
        yield f"     and {counted(left, 'match', 'matches')} more"
