"""A pin list whose part nobody declared: its declaration is proposed, or its name is asked for, once."""

import re
from pathlib import Path

import pytest

from tests.transcribing.conftest import AtTerminal
from tests.transcribing.test_lines_command import text
from tests.transcribing.test_tables import asked, lines

TABLE = "transcribe", "table"
OUTPUTS = "Pin;What\n6;output HS lamp left\n7;output HS lamp right\n"


def test_outputs_alone_are_written_with_the_declaration_of_their_part(van: Path, piped: AtTerminal) -> None:
    words = "--sheet", "1", "--head", "--columns", "pin,what", "--part", "N1"
    ran = piped(*TABLE, van, *words, text=OUTPUTS)
    assert ran.code == 0, ran
    assert re.search('module N1 copied "standard input, .*"  # N1 was not declared: is it a module[?]\n', text(van))
    assert 'output N1.6 feeds "output HS lamp left" copied' in text(van)


def test_it_is_proposed_in_the_line_with_its_pins_too() -> None:
    found = lines("1;supply plus\n6;output HS lamp", "pin what", part="N1").lines
    assert found[0] == 'module N1 supply 1 copied "chart"  # N1 was not declared: is it a module?'


def test_a_part_that_is_declared_is_not_declared_once_more() -> None:
    found = lines("B1;output HS lamp", "pin what", part="LIFT").lines
    assert [line.partition(" copied")[0] for line in found] == [
        'output LIFT.B1 feeds "output HS lamp"',
        "# LIFT.B1: output HS lamp",
    ]


def test_the_part_of_a_list_is_asked_once() -> None:
    headline, _, choices = asked("1;supply plus\n2;ground\n3;wake", "pin what")
    assert headline == "Whose pins are these? The list does not name their part."
    assert choices == ("HEATER", "LIFT")


def test_the_answer_holds_for_the_whole_list(van: Path, tmp_path: Path, typing: AtTerminal) -> None:
    (tmp_path / "pins.csv").write_text("Pin;What\n1;supply plus\n2;ground\n3;sensor signal\n")
    words = "--sheet", "1", "--head", "--columns", "pin,what"
    ran = typing(*TABLE, van, tmp_path / "pins.csv", *words, answers=("N7", "y"))
    assert ran.code == 0, ran
    assert "module N7 supply 1 ground 2 signal 3 copied" in text(van)
    assert ran.out.count("Whose pins are these?") == 1


def test_without_a_terminal_it_says_how_to_name_it(van: Path, piped: AtTerminal) -> None:
    before = text(van)
    ran = piped(
        *TABLE, van, "--sheet", "1", "--head", "--columns", "pin,what", text="Pin;What\n1;supply plus\n2;ground\n"
    )
    assert ran.code == 1 and text(van) == before
    assert "Whose pins are these?" in ran.err and "--part" in ran.err and "1 question: not written." in ran.err


@pytest.mark.parametrize("part", ["X3", "x3"])
def test_a_connector_by_its_name_is_no_module(part: str) -> None:
    headline, _, _ = asked("1;supply plus", "pin what", part=part)
    assert headline == f"{part} is a connector by its name: what a list says of its cavities is left out."
