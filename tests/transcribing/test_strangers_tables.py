"""Tables as strangers drew them: which column is what. Written down before there was anything to read them."""

from pathlib import Path

import pytest

from circuitmap.source import SourceFile
from circuitmap.transcribing.columns import columns_guessed
from circuitmap.transcribing.grid import grid_of
from tests.transcribing.typist import declared_only

PAPERS = Path(__file__).parents[1] / "papers"

WIRES = {
    "minibus": "code from to via colour size remark",
    "loader": "code from to via colour size remark",
    "boat": "code from via to colour size remark",
    "workshop": "code from from-pin to to-pin colour size option remark",
}
OTHERS = [
    ("loader", "| Slot | Rating | Rail |", 0, "fuses", "slot rating bar what"),
    ("loader", "| Slot | Rating | Rail |", 1, "fuses", "slot rating bar what"),
    ("loader", "| Part | Rating | In from |", 0, "fuses", "slot rating - what place"),
    ("loader", "| No. | From | To | Via | Wire no. |", 0, "wires", "- from to via code colour size remark"),
    ("minibus", "| Slot | Rating | Rail |", 0, "fuses", "slot rating bar what -"),
    ("minibus", "| Slot | Rating | Rail |", 1, "fuses", "slot rating bar what -"),
    ("minibus", "| Slot | Rating | Rail |", 2, "fuses", "slot rating bar what -"),
    ("boat", "| slot | A | bar |", 0, "fuses", "slot rating bar what -"),
    ("workshop", "| Slot | A | On bar |", 0, "fuses", "slot rating bar what option"),
    ("workshop", "| Pin | What | Remark |", 0, "pins", "pin what remark -"),
    ("workshop", "| Pin | What | Remark |", 5, "pins", "pin what remark -"),
]
"""Paper, how the head begins, which of those tables, its kind, its columns. A column that says nothing the notation has
a place for is `-`."""


def tables(paper: str, head: str) -> list[str]:
    """All tables of a paper whose head begins so."""
    lines = (PAPERS / paper / "paper.md").read_text("utf-8").splitlines()
    found = []
    for number, line in enumerate(lines):
        if line.lower().startswith(head.lower()):
            end = next((n for n in range(number, len(lines)) if not lines[n].startswith("|")), len(lines))
            found.append("\n".join(lines[number:end]))
    return found


def wire_tables() -> list[tuple[str, int]]:
    return [(paper, number) for paper in WIRES for number in range(len(tables(paper, _head(paper))))]


def _head(paper: str) -> str:
    return (
        "| No | From part |"
        if paper == "workshop"
        else "| no. | from | t"
        if paper != "loader"
        else "| No. | From | To | Via | Colour"
    )


@pytest.mark.parametrize(("paper", "number"), wire_tables())
def test_wire_lists(paper: str, number: int) -> None:
    known, _ = declared_only(PAPERS / paper / "text")
    guess = columns_guessed(grid_of(SourceFile("table", tables(paper, _head(paper))[number])), known)
    assert (guess.kind, " ".join(guess.columns)) == ("wires", WIRES[paper])


@pytest.mark.parametrize(("paper", "head", "number", "kind", "columns"), OTHERS)
def test_other_tables(paper: str, head: str, number: int, kind: str, columns: str) -> None:
    known, _ = declared_only(PAPERS / paper / "text")
    guess = columns_guessed(grid_of(SourceFile("table", tables(paper, head)[number])), known)
    assert (guess.kind, " ".join(guess.columns)) == (kind, columns)


def test_there_are_many() -> None:
    assert len(wire_tables()) >= 25
