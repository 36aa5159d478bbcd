"""Finding platforms and jobs by what somebody types: a part, a network, a fault, a piece of a name."""

from collections.abc import Iterable
from dataclasses import dataclass

from circuitmap.shelf.entry import Findable, ShelfEntry


@dataclass(frozen=True, slots=True)
class ShelfMatch:
    """An entry and what in it was found; `matches` is empty when the entry's own name or path matched."""

    entry: ShelfEntry
    matches: tuple[Findable, ...]


def find(entries: Iterable[ShelfEntry], words: str) -> tuple[ShelfMatch, ...]:
    """Entries in which every word occurs, in capital or small letters; with no words, all of them.

    Where the words are in the entry's own name, that is the match; else every item that has at least one of them, when
    together they have all. Entries with the most exact names come first.
    """
    wanted = words.casefold().split()
    if not wanted:
        return tuple(ShelfMatch(entry, ()) for entry in entries)
    found = [hit for entry in entries if (hit := _hit(entry, wanted)) is not None]
    return tuple(sorted(found, key=lambda f: (_distance(f, wanted), f.entry.kind, f.entry.path)))


def _hit(entry: ShelfEntry, wanted: list[str]) -> ShelfMatch | None:
    own = f"{entry.title} {entry.path} {entry.line}".casefold()
    missing = [word for word in wanted if word not in own]
    if not missing:
        return ShelfMatch(entry, ())
    if any(word not in own and word not in everything_in(entry) for word in missing):
        return None
    matches = [item for item in entry.findable if any(word in _text(item) for word in missing)]
    everything = " ".join([own, *map(_text, matches)])
    if all(word in everything for word in wanted):
        best = [item for item in matches if all(word in _text(item) for word in missing)]
        return ShelfMatch(entry, tuple(best or matches))
    return None


def everything_in(entry: ShelfEntry) -> str:
    """All words of an entry in one text: most entries have none of the words looked for, and this is the quickest way
    to tell."""
    return "\n".join(map(" ".join, entry.findable)).casefold()


def _text(item: Findable) -> str:
    return f"{item.what} {item.name} {item.says}".casefold()


def _distance(found: ShelfMatch, wanted: list[str]) -> int:
    """0 if a word is exactly a name or its tail, 1 for the entry's own name, 2 for anything else."""
    for item in found.matches:
        name = item.name.casefold()
        if any(name == word or name.endswith(f".{word}") for word in wanted):
            return 0
    return 2 if found.matches else 1
