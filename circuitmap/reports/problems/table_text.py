"""What the columns of a pasted table are taken for, to be confirmed or corrected."""

from collections.abc import Sequence
from typing import Any

from circuitmap.reports.problems.problems_text import shown
from circuitmap.transcribing.columns import SURE, Guess
from circuitmap.transcribing.grid import Grid

_SHOWN_ROWS, _WIDEST_CELL = 3, 22
_KINDS = {"fuses": "A fuse chart", "wires": "A wire list", "pins": "A pin list"}


def guess_text(grid: Grid, guess: Guess) -> str:
    """The kind of table, and each column: its number, what it is taken for, its head and first cells."""
    rows = len(grid.rows) - guess.headed
    head = "the first row is its head" if guess.headed else "without a head"
    lines = [f"{_KINDS[guess.kind]}, {rows} row{'' if rows == 1 else 's'}, {head}:"]
    wide = max(len(role) for role in guess.columns)
    for number, (role, lead) in enumerate(zip(guess.columns, guess.leads, strict=True), 1):
        cells = [_cut(row[number - 1].text) for row in grid.rows[: _SHOWN_ROWS + guess.headed]]
        unsure = "  unsure" if lead < SURE else ""
        lines.append(f"  {number:2}  {role:{wide}}  {' | '.join(cells)}{unsure}".rstrip())
    return "\n".join(shown(line) for line in lines)


def how_to_confirm(guess: Guess) -> str:
    """What to add to the command line."""
    head = "--head" if guess.headed else "--no-head"
    return f"Nothing was written. If this is right, say so: {head} --columns {','.join(guess.columns)}"


def guess_json(grid: Grid, guess: Guess) -> dict[str, Any]:
    return {
        "kind": guess.kind,
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
