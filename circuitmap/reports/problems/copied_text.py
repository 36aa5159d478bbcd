"""What is left to check of a platform that was copied, as a person reads it."""

from collections.abc import Mapping, Sequence
from typing import Any

from circuitmap.reports.problems.problems_json import place_json
from circuitmap.reports.problems.problems_text import shown
from circuitmap.transcribing.copied import Unchecked

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


def left_json(left: Sequence[Unchecked]) -> dict[str, Any]:
    return {
        "to_check": [
            {"says": its.said, "sheet": its.sheet, "copied_from": its.origin, **place_json(its.span)} for its in left
        ]
    }
