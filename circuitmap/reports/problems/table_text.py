"""What the columns of a pasted table are taken for, to be confirmed or corrected."""

from collections.abc import Sequence
from typing import Any

from circuitmap.reports.problems.problems_text import shown
from circuitmap.transcribing.columns import SURE, Guess, OtherKind
from circuitmap.transcribing.grid import Grid

_SHOWN_ROWS, _WIDEST_CELL = 3, 22
_KINDS = {"fuses": "A fuse chart", "wires": "A wire list", "pins": "A pin list"}
_LOOKS_LIKE: dict[OtherKind, tuple[str, str]] = {
    "parts": (
        "a list of parts",
        "It does not say what kind each part is, nor what a wire joins: declare the parts yourself, one a line, "
        'such as: motor M3 "blower" at "behind the glove box".',
    ),
    "terminals": (
        "a list of terminal designations",
        "What 15, 30 or 87a mean holds for every vehicle and says nothing of this one.",
    ),
    "gauges": (
        "a table of wire gauges",
        "It holds for every vehicle, and no wire of this one stands in it.",
    ),
    "unknown": ("nothing known", "No column holds fuses, ends of wires or pins."),
}
_WHICH = "a fuse chart, a wire list or a pin list"


def guess_text(grid: Grid, guess: Guess) -> str:
    """The kind of table, and each column: its number, what it is taken for, its head and first cells."""
    rows = len(grid.rows) - guess.headed
    head = "the first row is its head" if guess.headed else "without a head"
    size = f"{rows} row{'' if rows == 1 else 's'}, {head}"
    if guess.looks_like:
        looks_like, why = _LOOKS_LIKE[guess.looks_like]
        lines = [
            f"This looks like {looks_like}, {size}: none of the kinds of table that can be taken.",
            f"Those are {_WHICH}. {why}",
        ]
    else:
        lines = [f"{_KINDS[guess.kind]}, {size}:"]
        if guess.kind_lead < SURE:
            lines.append(f"  unsure what kind of table this is: {_WHICH}?")
    wide = max(len(role) for role in guess.columns)
    for number, (role, lead) in enumerate(zip(guess.columns, guess.leads, strict=True), 1):
        cells = [_cut(row[number - 1].text) for row in grid.rows[: _SHOWN_ROWS + guess.headed]]
        unsure = "  unsure" if lead < SURE and not guess.looks_like else ""
        lines.append(f"  {number:2}  {role:{wide}}  {' | '.join(cells)}{unsure}".rstrip())
    return "\n".join(shown(line) for line in lines)


def how_to_confirm(guess: Guess) -> str:
    """What to add to the command line."""
    if guess.looks_like:
        return "Nothing was written. If it is one of them, say what its columns are: --columns slot,rating,what"
    head = "--head" if guess.headed else "--no-head"
    return f"Nothing was written. If this is right, say so: {head} --columns {','.join(guess.columns)}"


def guess_json(grid: Grid, guess: Guess) -> dict[str, Any]:
    return {
        "kind": "" if guess.looks_like else guess.kind,
        "kind_lead": guess.kind_lead,
        "kind_sure": not guess.looks_like and guess.kind_lead >= SURE,
        "looks_like": guess.looks_like,
        "head": guess.headed,
        "rows": len(grid.rows) - guess.headed,
        "columns": [
            {"is": role, "lead": lead, "sure": lead >= SURE, "cells": _first(grid.column(number, guess.headed))}
            for number, (role, lead) in enumerate(zip(guess.columns, guess.leads, strict=True))
        ],
    }


def _first(cells: Sequence[str]) -> list[str]:
    return list(cells[:_SHOWN_ROWS])


def _cut(text: str) -> str:
    return text if len(text) <= _WIDEST_CELL else f"{text[: _WIDEST_CELL - 3]}..."
