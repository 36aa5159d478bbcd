"""Which rows of a table stand in the platform already and say nothing new: they are told, and left out."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform, Wire

TABLE = "\0table"
"""The path of the text that a table became, beside the files of the platform; no file is called so."""
_FURTHER_UP = "further up in this table"


class KnownRow(NamedTuple):
    """A statement that a row would make, and where it stands already."""

    says: str
    place: str


def standing_wires(before: Platform, now: Platform, table: SourceFile) -> Mapping[int, str]:
    """The lines of the table (from 1) all of whose wires stand further up, or in `before`, and say as much there; with
    the place. `now` is the platform with the table."""
    known = {_key(wire): wire for wire in before.wires}
    places: dict[int, list[str]] = {}
    for wire in now.wires:
        here = sorted(span.line for span in wire.spans if span.path == TABLE)
        if not here:
            continue
        first = next((span for span in wire.spans if span.path != TABLE), None)
        is_known = first is not None and _look(known.get(_key(wire))) == _look(wire)
        place = first.place() if first is not None and is_known else ""
        for number, line in enumerate(here):
            again = number > 0 and _same_text(table, here[0], line)
            places.setdefault(line, []).append(place or (_FURTHER_UP if again else ""))
    return {line: its[0] for line, its in places.items() if all(its)}


def _key(wire: Wire) -> tuple[object, ...]:
    return frozenset((wire.a, wire.b)), wire.name, wire.condition


def _look(wire: Wire | None) -> tuple[object, ...] | None:
    return None if wire is None else (wire.kind, wire.colour, wire.size, wire.code, wire.length)


def _same_text(table: SourceFile, one: int, other: int) -> bool:
    return table.line(one) == table.line(other)


def without_standing(
    lines: Sequence[str], before: Platform, now: Platform, sources: Sequence[SourceFile]
) -> tuple[tuple[str, ...], tuple[KnownRow, ...]]:
    """The lines that say anything new, and those that stand there already. Remarks that stand there are left out, too,
    without a word."""
    table = text_of(lines)
    standing = standing_wires(before, now, table)
    remarks = {line.strip() for source in sources for line in source.text.splitlines() if line.startswith("#")}
    new = [
        line
        for number, line in enumerate(lines, 1)
        if number not in standing and not (line[:1] == "#" and line in remarks)
    ]
    told = [KnownRow(table.line(number).partition(" copied")[0], place) for number, place in sorted(standing.items())]
    return tuple(new), tuple(told)


def text_of(lines: Sequence[str]) -> SourceFile:
    return SourceFile(TABLE, "".join(f"{line}\n" for line in lines))
