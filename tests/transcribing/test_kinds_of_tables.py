"""What kind of table was pasted is a guess with a lead of its own; one that is none of the three kinds is said to be none,
and what it looks like."""

from pathlib import Path
from random import Random

import pytest

from circuitmap.source import SourceFile
from circuitmap.transcribing.columns import SURE, Guess, columns_guessed
from circuitmap.transcribing.grid import grid_of
from circuitmap.transcribing.typed_lines import KnownHere
from tests.cli.conftest import Run
from tests.transcribing.conftest import AtTerminal
from tests.transcribing.published_lists import GAUGES, PARTS, SIZES, TERMINALS
from tests.transcribing.random_tables import platforms
from tests.transcribing.test_lines_command import text
from tests.transcribing.test_short_lines import known
from tests.transcribing.test_strangers_tables import PAPERS, tables
from tests.transcribing.typist import declared_only

TABLE = "transcribe", "table"
LISTS = {"parts": (PARTS,), "terminals": (TERMINALS,), "gauges": (GAUGES, SIZES)}


def guessed(table: str, its: KnownHere | None = None) -> Guess:
    return columns_guessed(grid_of(SourceFile("table", table)), its or known())


def without_head(table: str) -> str:
    return table.partition("\n")[2]


@pytest.mark.parametrize(("kind", "table"), [(kind, table) for kind, its in LISTS.items() for table in its])
@pytest.mark.parametrize("headed", [True, False])
def test_a_list_of_something_else_is_said_to_be_none_of_the_kinds(kind: str, table: str, headed: bool) -> None:
    guess = guessed(table if headed else without_head(table))
    assert guess.looks_like == kind
    assert set(guess.columns) == {"-"}


def parts_tables() -> list[tuple[str, str]]:
    heads = ("| Part | Name | Location", "| Part | What |")
    return [(paper, its) for paper in ("minibus", "loader", "boat") for head in heads for its in tables(paper, head)]


@pytest.mark.parametrize(("paper", "table"), parts_tables())
@pytest.mark.parametrize("headed", [True, False])
def test_the_parts_lists_of_strangers_are_never_surely_anything_else(paper: str, table: str, headed: bool) -> None:
    """With nothing declared, and with all of it."""
    if not headed:
        table = "\n".join(table.splitlines()[2:])
    for its in (known(""), declared_only(PAPERS / paper / "text")[0]):
        guess = guessed(table, its)
        assert guess.looks_like == "parts" or guess.kind_lead < SURE


def test_most_of_them_are_known_for_what_they_are() -> None:
    found = [guessed(table, known("")).looks_like for _, table in parts_tables()]
    assert len(found) > 20 and found.count("parts") > 0.8 * len(found)


def test_lists_of_parts_at_random_are_never_surely_anything_else() -> None:
    random = Random(1414)
    right = 0
    for _ in range(60):
        its, unknown, platform = random.choice(platforms())
        parts = [part for part in platform.parts.values() if part.description]
        rows = [
            [p.name.rpartition(".")[2], p.description, p.place or "-"]
            for p in random.sample(parts, min(14, len(parts)))
        ]
        if random.random() < 0.5:
            rows = [[name, place, what] for name, what, place in rows]
        if random.random() < 0.6:
            rows.insert(0, [random.choice(("Part", "Ref.", "Designation", "Code")), "Name", "Where"])
        guess = guessed("\n".join(";".join(row) for row in rows), random.choice((its, unknown)))
        right += guess.looks_like == "parts"
        assert guess.looks_like == "parts" or guess.kind_lead < SURE, rows
    assert right > 40


@pytest.mark.parametrize("table", [table for its in LISTS.values() for table in its])
def test_the_command_says_what_it_looks_like_and_why_nothing_is_taken(van: Path, piped: AtTerminal, table: str) -> None:
    before = text(van)
    ran = piped(*TABLE, van, "--sheet", "1", text=table)
    assert ran.code == 1 and text(van) == before
    assert "none of the kinds of table that can be taken" in ran.out and "Nothing was written." in ran.out
    assert "If this is right" not in ran.out and "A fuse chart" not in ran.out


@pytest.mark.parametrize(
    ("table", "says"),
    [
        (PARTS, "looks like a list of parts"),
        (TERMINALS, "looks like a list of terminal designations"),
        (GAUGES, "looks like a table of wire gauges"),
        (SIZES, "looks like a table of wire gauges"),
        (
            "Day;Who came;What for\nMonday;the lorry driver;a new lamp\nTuesday;nobody at all;-\nFriday;the bus driver;oil and water\n",
            "looks like nothing known",
        ),
    ],
)
def test_each_in_its_own_words(van: Path, piped: AtTerminal, table: str, says: str) -> None:
    ran = piped(*TABLE, van, "--sheet", "1", text=table)
    assert says in ran.out and ran.code == 1


def test_at_a_terminal_a_yes_takes_nothing_from_it(van: Path, tmp_path: Path, typing: AtTerminal) -> None:
    before = text(van)
    (tmp_path / "list.csv").write_text(PARTS)
    ran = typing(*TABLE, van, tmp_path / "list.csv", "--sheet", "1", answers=("y", ""))
    assert ran.code == 130 and text(van) == before and "These are not the columns of one table." in ran.out


def test_somebody_who_knows_better_names_the_columns(van: Path, piped: AtTerminal) -> None:
    words = "--sheet", "1", "--columns", "slot,what,place", "--head"
    ran = piped(*TABLE, van, *words, text="Designation;Name;Location\nF7;Main fuse;tray\nF8;Second fuse;tray\n")
    assert ran.code == 0 and 'fuse F7 "Main fuse" at "tray" copied' in text(van)


def test_json_says_it_too(van: Path, piped: AtTerminal) -> None:
    ran = piped(*TABLE, van, "--sheet", "1", "--json", text=TERMINALS)
    assert (ran.json["table"]["kind"], ran.json["table"]["looks_like"]) == ("", "terminals")
    ran = piped(*TABLE, van, "--sheet", "1", "--json", text="Slot;A;Circuit\nF8;5;horn left\nF9;10;lamp\nF10;5;pump\n")
    its = ran.json["table"]
    assert its["kind"] == "fuses" and its["looks_like"] == "" and its["kind_sure"] == (its["kind_lead"] >= SURE)


def test_a_kind_that_is_unsure_is_marked_so(van: Path, piped: AtTerminal, circuitmap: Run) -> None:
    """Slots and names only: a fuse chart, or a list of parts."""
    ran = piped(*TABLE, van, "--sheet", "1", text="FA1;horn left\nK2;lamp of the load area\nFA3;pump\nR4;fan\n")
    assert "unsure what kind of table this is" in ran.out or "none of the kinds" in ran.out
