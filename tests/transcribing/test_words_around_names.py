"""A cell with a word before or behind a designation: "BAR A30" is A30 if that is the name, and only once somebody says so."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.transcribing.conftest import AtTerminal
from tests.transcribing.test_lines_command import text
from tests.transcribing.test_tables import asked, lines

TABLE = "transcribe", "table"


@pytest.mark.parametrize(
    ("row", "cell", "choices"),
    [
        ("L1;LAMP WIPER.53", "LAMP WIPER.53", ("WIPER.53",)),
        ("L1;fuse F7", "fuse F7", ("F7",)),
        ("L1;F7 (main fuse)", "F7 (main fuse)", ("F7",)),
        ("L1;Fuse f1, cab", "Fuse f1, cab", ("CAB.F1",)),
        ("L1;relay f2", "relay f2", ("CAB.F2", "REAR.F2")),
        ("L1;F7 or F1", "F7 or F1", ("F7", "CAB.F1")),
        ("L1;connector X9.3 roof", "connector X9.3 roof", ("X9.3",)),
        ("L1;splice SP4", "splice SP4", ("SP4",)),
    ],
)
def test_the_word_that_is_a_name_is_offered_and_never_taken(row: str, cell: str, choices: tuple[str, ...]) -> None:
    headline, span, offered = asked(row, "from to")
    assert (span, offered) == (cell, choices)
    assert headline == (f"{cell}: is {choices[0]} meant?" if len(choices) == 1 else f"{cell} may be several: which?")


@pytest.mark.parametrize("cell", ["BAR B77", "left front", "to the lamp", "A B C D", "in the cab"])
def test_where_no_word_is_a_name_it_is_none(cell: str) -> None:
    headline, _, choices = asked(f"L1;{cell}", "from to")
    assert headline == f"{cell} is not the name of an end." and choices == ()


def test_a_module_is_offered_with_its_terminals() -> None:
    assert asked("L1;unit LIFT", "from to")[2] == ("LIFT.A1", "LIFT.A2", "LIFT.A12", "LIFT.b3")


def test_with_a_column_of_pins_the_pin_goes_with_it() -> None:
    _, _, choices = asked("L1;unit LIFT;A2", "from to to-pin")
    assert choices == ("LIFT.A2",)


@pytest.mark.parametrize("role", ["via", "part"])
def test_in_other_columns_too(role: str) -> None:
    if role == "via":
        assert asked("L1;G1;plug X9.2", "from to via")[2] == ("X9.2",)
    else:
        assert asked("tail lift LIFT;A2;supply", "part pin what")[2] == ("LIFT",)


def test_the_newcomers_row(van: Path, tmp_path: Path, typing: AtTerminal, circuitmap: Run) -> None:
    (van / "more.circuit").write_text("bar A30\n")
    (tmp_path / "list.csv").write_text("From;To;Colour\nBAR A30;CAB.F4;RD\nBAR A30;CAB.F3;RD\n")
    words = "--sheet", "1", "--head", "--columns", "from,to,colour"
    ran = typing(*TABLE, van, tmp_path / "list.csv", *words, answers=("1", "", "y"))
    assert ran.code == 0 and "A30 -> CAB.F4 in RD copied" in text(van), ran
    assert ran.out.count("BAR A30: is A30 meant?") == 2, "each row is asked: the second was left out"
    assert "A30 -> CAB.F3" not in text(van)


def test_what_is_a_name_itself_is_not_asked() -> None:
    assert not lines("L1;F7", "from to").questions and not lines("L1;CAB F1", "from to").questions


@pytest.mark.parametrize(
    ("cell", "choices"), [("Fuse F12", ("F12",)), ("slot 12", ("12",)), ("F12 or F13 each", ("F12", "F13"))]
)
def test_a_slot_with_a_word_is_asked_too(cell: str, choices: tuple[str, ...]) -> None:
    assert asked(f"{cell};5", "slot rating")[1:] == (cell, choices)


def test_a_slot_with_a_blank_in_it_is_the_slot() -> None:
    assert lines("F 12;5", "slot rating").lines == ('fuse F12 5A copied "chart"',)
