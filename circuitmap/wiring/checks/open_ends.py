"""Where sheets go on and nobody has typed it yet."""

import re
from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.parts import OpenEnd, Terminal, Undeclared
from circuitmap.wiring.platform import Platform

_SHEET = re.compile(r"\b[Ss]heet ([\w-]+)")


def open_ends(platform: Platform) -> Iterator[Problem]:
    """One note for each sheet."""
    by_sheet: dict[str, list[OpenEnd]] = {}
    for part in platform.parts.values():
        # Where a name is already told as unknown, that the sheet goes on from it is not told again.
        if isinstance(part, OpenEnd) and not isinstance(platform.parts[_neighbour(platform, part).part], Undeclared):
            by_sheet.setdefault(min(part.sheets, default=""), []).append(part)
    for sheet, ends in sorted(by_sheet.items()):
        said = listed(_said(platform, end) for end in ends)
        where = f"Sheet {sheet}" if sheet else "What is on no sheet"
        count = "one place" if len(ends) == 1 else f"{len(ends)} places"
        yield Problem("open-end", Severity.NOTE, f"{where} goes on in {count}: {said}.", min(end.span for end in ends))


def open_ends_to_typed_sheets(platform: Platform) -> Iterator[Problem]:
    """Where the text says that a wire goes on to a sheet that is typed in as a whole: there it is either not, or it is
    and the open end has had its day."""
    for part in platform.parts.values():
        if not isinstance(part, OpenEnd):
            continue
        for name in _SHEET.findall(part.description):
            sheet = platform.sheets.get(name)
            if sheet is not None and sheet.whole and not sheet.unread and name not in part.sheets:
                yield Problem(
                    "open-end-typed",
                    Severity.WARNING,
                    f"{_neighbour(platform, part)} goes on to sheet {name}, which is typed in as a whole.",
                    part.span,
                    advice="Write where it goes on there, or the number of the sheet that is meant.",
                )


def _said(platform: Platform, end: OpenEnd) -> str:
    """The point from which the sheet goes on, and what the sheet says there."""
    neighbour = _neighbour(platform, end)
    direction = "fed from there" if end.from_supply else ""
    remark = ", ".join(text for text in (direction, end.description) if text)
    return f"{neighbour} ({remark})" if remark else str(neighbour)


def _neighbour(platform: Platform, end: OpenEnd) -> Terminal:
    wire = platform.wires_at[end.name][0]
    return wire.b if wire.a.part == end.name else wire.a
