"""What is left to check of a platform that was copied, as a person reads it."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from circuitmap.reports.problems.problems_json import place_json
from circuitmap.reports.problems.problems_text import shown
from circuitmap.transcribing.copied import Unchecked
from circuitmap.transcribing.sister_sheets import SheetsOfOne

_MOST_LISTED = 40


def left_text(left: Sequence[Unchecked], by_sheet: Mapping[str, int]) -> str:
    """The first statements that are not checked, and how many each sheet has."""
    if not left:
        return "Everything is checked."
    lines = [f"{its.span.place()}: {' '.join(its.said.split())}" for its in left[:_MOST_LISTED]]
    if len(left) > _MOST_LISTED:
        lines.append(f"and {len(left) - _MOST_LISTED} more")
    lines.append("")
    lines += [f"{f'Sheet {sheet}' if sheet else 'On no sheet'}: {count} to check" for sheet, count in by_sheet.items()]
    return "\n".join(shown(line) for line in lines)


def unchecked_text(its: Unchecked) -> str:
    """One statement that is to be compared with the paper."""
    sheet = f"sheet {its.sheet}" if its.sheet else "on no sheet"
    return shown(f"{its.span.place()}, {sheet}: ") + "\n" + "\n".join(shown(line) for line in its.said.splitlines())


def left_json(left: Sequence[Unchecked], apart: Iterable[SheetsOfOne]) -> dict[str, Any]:
    return {
        "to_check": [
            {"says": its.said, "sheet": its.sheet, "copied_from": its.origin, **place_json(its.span)} for its in left
        ],
        "sheets": [
            {"sister": its.sister, "only_here": _names(its.here), "only_there": _names(its.there)} for its in apart
        ],
    }


def one_sided_lines(compared: Iterable[SheetsOfOne]) -> list[str]:
    """A line for each sheet that only one of two sisters has."""
    lines = []
    for its in compared:
        lines += [f"Only here, not on {its.sister}: {_sheet(*sheet)}" for sheet in its.here]
        lines += [f"Only on {its.sister}, not here: {_sheet(*sheet)}" for sheet in its.there]
    return [shown(line) for line in lines]


def _names(sheets: Sequence[tuple[str, str]]) -> list[str]:
    return [name for name, _ in sheets]


def _sheet(name: str, title: str) -> str:
    return f"sheet {name} {title}".rstrip()
