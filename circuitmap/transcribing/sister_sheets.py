"""Which sheets only one of two sister platforms has."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from circuitmap.notation.statements import Notation, SheetStatement
from circuitmap.transcribing.copied import copied_from


class SheetsOfOne(NamedTuple):
    """`here`: sheets that only this platform has; `there`: that only its `sister` has; each with its title."""

    sister: str
    here: tuple[tuple[str, str], ...]
    there: tuple[tuple[str, str], ...]


def compared(sister: str, ours: Mapping[str, str], theirs: Mapping[str, str]) -> SheetsOfOne:
    """Two platforms by their sheets with titles."""
    return SheetsOfOne(
        sister,
        tuple((name, title) for name, title in ours.items() if name not in theirs),
        tuple((name, title) for name, title in theirs.items() if name not in ours),
    )


def origins_in(notations: Iterable[Notation]) -> Iterator[str]:
    """What anything that is not checked yet was copied from, also where a sheet says so for all that is on it."""
    for notation in notations:
        for statement in notation.statements:
            if isinstance(statement, SheetStatement):
                yield from [statement.clauses.copied.text] if statement.clauses.copied is not None else []
            elif copied := copied_from(statement):
                yield copied


def sheets_in_use(notations: Iterable[Notation]) -> dict[str, str]:
    """The sheets on which at least one statement stands, with their titles."""
    titles: dict[str, str] = {}
    used: dict[str, None] = {}
    for notation in notations:
        sheet = ""
        for statement in notation.statements:
            if isinstance(statement, SheetStatement):
                sheet = statement.name.text
                titles.setdefault(sheet, statement.title.text if statement.title is not None else "")
            elif sheet:
                used[sheet] = None
    return {sheet: titles[sheet] for sheet in used}
