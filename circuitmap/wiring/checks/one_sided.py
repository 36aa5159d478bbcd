"""A part with one side typed in and not the other: on a whole sheet a slip, elsewhere something not transcribed yet."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitmap.problems import Problem, Severity
from circuitmap.source import Span
from circuitmap.wiring.platform import Platform, Wire
from circuitmap.wiring.whole_sheets import is_whole

MOST_TOLD_ALONE = 3
"""If there are more notes of one kind on one sheet than this, they are told as one."""
_MOST_LISTED = 8


class Missing(NamedTuple):
    """`headline` says what is missing, in a sentence that stands alone; `wires` are the ones that are there."""

    part: str
    headline: str
    wires: tuple[Wire, ...]

    @property
    def sheets(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(sheet for wire in self.wires for sheet in wire.sheets or ("",)))

    @property
    def span(self) -> Span:
        return min(span for wire in self.wires for span in wire.spans)


def told(platform: Platform, code: str, missing: Iterable[Missing], together: str) -> Iterator[Problem]:
    """One warning for each part whose sheets are all whole; notes for the others, gathered by sheet where there are
    many.

    `together` begins the gathered sentence, as in "No ground is typed in for". Nothing is said of parts on a sheet with
    a line that could not be read: what seems to be missing may stand on that line.
    """
    notes: dict[str, list[Missing]] = {}
    for its in missing:
        if its.part in platform.doubted or any(_is_unread(platform, sheet) for sheet in its.sheets):
            continue
        if is_whole(platform, its.sheets):
            sheets = " and ".join(its.sheets)
            said = f"Sheet {sheets} is said to be whole." if len(its.sheets) == 1 else f"{sheets} are said to be whole."
            yield Problem(code, Severity.WARNING, its.headline, its.span, advice=said)
        else:
            notes.setdefault(min(its.sheets), []).append(its)
    for sheet, group in notes.items():
        if len(group) <= MOST_TOLD_ALONE:
            for its in group:
                yield Problem(code, Severity.NOTE, its.headline, its.span)
            continue
        where = f" on sheet {sheet}" if sheet else ""
        names = listed(its.part for its in group)
        yield Problem(code, Severity.NOTE, f"{together} {names}{where}.", min(its.span for its in group))


def _is_unread(platform: Platform, name: str) -> bool:
    sheet = platform.sheets.get(name)
    return sheet is not None and sheet.unread


def listed(names: Iterable[str]) -> str:
    """Names as a sentence lists them, cut off where it would get long."""
    known = list(names)
    if len(known) > _MOST_LISTED:
        return ", ".join(known[: _MOST_LISTED - 1]) + f" and {len(known) - _MOST_LISTED + 1} more"
    return known[0] if len(known) == 1 else ", ".join(known[:-1]) + " and " + known[-1]
