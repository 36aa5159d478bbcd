"""A platform begun from a sister: all of it is marked, each line is checked off with two keys, and nothing is lost."""

import re
from pathlib import Path

import pytest

from circuitmap.cli import transcribe_copied
from circuitmap.flows.questions import open_platform
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.transcribing.copied import begun_from, marks_pushed_down, unchecked_in
from tests.cli.conftest import Run
from tests.transcribing.conftest import AtTerminal
from tests.transcribing.typist import FOLDERS, read

SISTER, CHECKED = ("transcribe", "sister"), ("transcribe", "checked")


@pytest.fixture
def new(van: Path, circuitmap: Run) -> Path:
    """The small van's sister, just begun."""
    folder = van.parent / "new"
    assert circuitmap(*SISTER, van, folder, "--name", "Bramble 3").code == 0
    return folder


@pytest.fixture
def checking(typing: AtTerminal, monkeypatch: pytest.MonkeyPatch) -> AtTerminal:
    monkeypatch.setattr(transcribe_copied, "is_terminal", lambda: True)
    return typing


def text(folder: Path) -> str:
    return (folder / "van.circuit").read_text("utf-8")


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.parent.name + "-" + folder.name)
def test_every_statement_is_marked_and_without_the_marks_it_is_what_it_was(folder: Path) -> None:
    sources, notations = read(folder)
    for source, notation in zip(sources, notations, strict=True):
        begun = begun_from(source, notation, "New", 'Old "one"')
        now, problems = read_text(SourceFile(source.path, begun))
        assert len(now.statements) == len(notation.statements) and all(problem.severity < 2 for problem in problems)
        pushed = SourceFile(source.path, marks_pushed_down(SourceFile(source.path, begun), now))
        marked = list(unchecked_in([read_text(pushed)[0]]))
        never = ("platform", "naming", "colours", "sheet")
        said = [its.span.text for its in notation.statements if its.span.text.split()[0] not in never]
        bare = [re.sub(r'\s+copied "(?:[^"\\]|\\.)*"', "", its) for its in said]
        assert [its.said for its in marked] == bare


def test_all_of_it_is_copied_and_check_says_so(new: Path, circuitmap: Run) -> None:
    platform = open_platform(new)
    assert platform.name == "Bramble 3" and all(wire.copied == "Bramble 2 van" for wire in platform.wires)
    assert not any(sheet.whole for sheet in platform.sheets.values())
    told = circuitmap("check", new).out
    assert re.search(r"parts, \d+ wires, \d+ feeds and 1 network are copied from Bramble 2 van, not yet checked", told)
    assert "copied from Bramble 2 van" in circuitmap("trace", new, "HEATER").out
    assert circuitmap("check", new).code == 0


def test_to_begin_it_again_changes_nothing_and_another_platform_is_left_alone(
    van: Path, new: Path, circuitmap: Run
) -> None:
    before = text(new)
    assert circuitmap(*SISTER, van, new, "--name", "Bramble 3").code == 0 and text(new) == before
    ran = circuitmap(*SISTER, van, new, "--name", "Bramble 4")
    assert ran.code == 3 and "holds a platform already" in ran.err and text(new) == before


def test_the_same_different_not_there_and_later(new: Path, checking: AtTerminal, circuitmap: Run) -> None:
    answers = ("s", "d f3 cab.b1 rd 10", "d f2 nobody rd", "what", "n", "l", "q")
    ran = checking(*CHECKED, new, "--sheet", "2", answers=answers)
    assert ran.code == 1 and "2 left to check." in ran.out, ran.out
    assert "Nothing is called nobody here." in ran.out
    sheet = text(new).partition('sheet "2"')[2]
    assert "\nCAB.F2 -> X14.14 -> SP5 -> HEATER.A1 in OG/BK 0.75mm2\n" in sheet
    assert "\nCAB.F3 -> CAB.B1 in RD 10\n" in sheet
    assert "\n# not on this vehicle: HEATER.A12 -> G7 in BK\n" in sheet


def test_two_keys_a_wire_that_is_the_same(new: Path, van: Path, checking: AtTerminal, circuitmap: Run) -> None:
    left = circuitmap(*CHECKED, new, "--json").json["to_check"]
    ran = checking(*CHECKED, new, answers=("s",) * len(left))
    assert ran.code == 0 and ran.out.endswith("Everything is checked.\n")
    assert open_platform(new).wires == open_platform(van).wires
    assert "not-checked" not in circuitmap("check", new).out
    assert circuitmap(*CHECKED, new).code == 0


def test_the_mark_of_a_sheet_is_that_of_its_statements(van: Path, checking: AtTerminal, circuitmap: Run) -> None:
    (van / "van.circuit").write_text(text(van).replace('sheet "2" "Heating"', 'sheet "2" "Heating" copied "Old"'))
    left = circuitmap(*CHECKED, van, "--json").json["to_check"]
    assert [its["sheet"] for its in left] == ["2"] * 5 and {its["copied_from"] for its in left} == {"Old"}
    assert checking(*CHECKED, van, answers=("s", "q")).code == 1
    assert 'SP5 -> ? "goes on to sheet 3" copied "Old"' in text(van) and 'sheet "2" "Heating"\n' in text(van)


@pytest.mark.parametrize("sheet", ["9", ""])
def test_a_sheet_that_is_not_there(new: Path, circuitmap: Run, sheet: str) -> None:
    assert circuitmap(*CHECKED, new, "--sheet", sheet).code == (2 if sheet else 1)


def test_without_a_terminal_what_is_left_is_listed(new: Path, circuitmap: Run) -> None:
    before = text(new)
    ran = circuitmap(*CHECKED, new, "--sheet", "2")
    assert ran.code == 1 and "Sheet 2: 5 to check" in ran.out and "Sheet 1" not in ran.out and text(new) == before


def test_what_cannot_be_read_is_told(tmp_path: Path, circuitmap: Run) -> None:
    ran = circuitmap(*SISTER, tmp_path / "nobody", tmp_path / "new", "--name", "x")
    assert ran.code == 3 and not (tmp_path / "new").exists()
    assert circuitmap(*SISTER, tmp_path, tmp_path / "a" / "b", "--name", "x").code == 3


def test_sheets_that_only_one_sister_has_are_told(van: Path, new: Path, circuitmap: Run) -> None:
    assert "Only" not in circuitmap(*CHECKED, new).out
    (van / "more.circuit").write_text('sheet "62-01" "Crane"\nlamp L77\n')
    (new / "more.circuit").write_text('sheet "63-01" "Heater"\nlamp L78\nsheet "64-01" "nothing is on it"\n')
    told = circuitmap(*CHECKED, new).out
    here, there = (
        "Only here, not on Bramble 2 van: sheet 63-01 Heater",
        "Only on Bramble 2 van, not here: sheet 62-01 Crane",
    )
    assert told.startswith(f"{here}\n{there}\n")
    apart = circuitmap(*CHECKED, new, "--json").json["sheets"]
    assert apart == [{"sister": "Bramble 2 van", "only_here": ["63-01"], "only_there": ["62-01"]}]
    (van.parent / "elsewhere").mkdir()
    moved = van.rename(van.parent / "elsewhere" / "van")
    assert "Only" not in circuitmap(*CHECKED, new).out
    assert there in circuitmap(*CHECKED, new, "--sister", moved).out
    other = van.parent / "other"
    assert circuitmap(*SISTER, new, other, "--name", "Bramble 4").code == 0
    wrong = circuitmap(*CHECKED, new, "--sister", other)
    assert wrong.code == 2 and "Nothing is copied from Bramble 4." in wrong.err


def test_a_sheet_on_which_nothing_is_left_is_told(van: Path, new: Path, circuitmap: Run) -> None:
    text_of = text(new)
    at = text_of.index('\nsheet "2"') + 1
    lines = text_of[at:].split("\n")
    gone = [
        lines[0],
        *(f"# not on this vehicle: {line}" if line and not line.startswith("#") else line for line in lines[1:]),
    ]
    (new / "van.circuit").write_text(text_of[:at] + "\n".join(gone))
    assert "Only on Bramble 2 van, not here: sheet 2" in circuitmap(*CHECKED, new).out
