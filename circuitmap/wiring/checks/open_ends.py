"""Where sheets go on and nobody has typed it yet."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.parts import OpenEnd, Terminal, Undeclared
from circuitmap.wiring.platform import Platform


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


def _said(platform: Platform, end: OpenEnd) -> str:
    """The point from which the sheet goes on, and what the sheet says there."""
    neighbour = _neighbour(platform, end)
    direction = "fed from there" if end.from_supply else ""
    remark = ", ".join(text for text in (direction, end.description) if text)
    return f"{neighbour} ({remark})" if remark else str(neighbour)


def _neighbour(platform: Platform, end: OpenEnd) -> Terminal:
    wire = platform.wires_at[end.name][0]
    return wire.b if wire.a.part == end.name else wire.a
