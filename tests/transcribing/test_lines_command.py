"""`circuitmap transcribe lines`: what is clear is written to its sheet, what is not is asked, and nothing is lost."""

from pathlib import Path

import pytest

from circuitmap.flows import transcribing
from tests.cli.conftest import Run
from tests.transcribing.conftest import AtTerminal

LINES = "transcribe", "lines"


def text(van: Path) -> str:
    return (van / "van.circuit").read_bytes().decode()


def test_lines_go_behind_what_stands_on_their_sheet(van: Path, piped: AtTerminal) -> None:
    before = text(van)
    ran = piped(*LINES, van, "--sheet", "1", text="f3 x14.2 doors.9 rdbu .5  # from memory\n\nf4 radio =\n")
    assert ran.code == 0
    new = "CAB.F3 -> X14.2 -> DOORS.9 in RD/BU 0.5  # from memory\nCAB.F4 -> RADIO in RD/BU 0.5\n"
    at = before.index('\nsheet "2"')
    assert text(van) == before[:at] + new + before[at:]
    assert ran.out == f"{new}Wrote 2 lines to {van / 'van.circuit'}.\n"


def test_without_a_terminal_questions_are_listed_and_nothing_is_written(van: Path, piped: AtTerminal) -> None:
    (van / "rear.circuit").write_text("box REAR\nfuse REAR.F3 5A\n")
    before = text(van)
    ran = piped(*LINES, van, "--sheet", "1", text="f4 radio rd\nf3 doors.7 rd\n")
    assert (ran.code, ran.out, text(van)) == (1, "", before)
    assert "standard input:2:1: f3 may be CAB.F3 or REAR.F3: which?" in ran.err
    assert "    2  REAR.F3\n" in ran.err and "1 question: nothing was written." in ran.err


def test_at_a_terminal_it_asks_and_writes_after_a_yes(van: Path, typing: AtTerminal) -> None:
    (van / "rear.circuit").write_text("box REAR\nfuse REAR.F3 5A\n")
    answers = ("f3 radio rd", "2", "f9 radio rd", "f4", "~ g2 gnye", "1", "nobody g2", "", "", "y")
    ran = typing(*LINES, van, "--sheet", "1", answers=answers)
    assert ran.code == 0, ran
    new = "REAR.F3 -> RADIO in RD\nCAB.F4 -> RADIO in RD\nRADIO -> G2 in GN/YE\n"
    assert new in text(van) and "Write 3 lines to van.circuit?" in ran.out


@pytest.mark.parametrize("answer", ["n", ""])
def test_without_a_yes_nothing_is_written(van: Path, typing: AtTerminal, answer: str) -> None:
    before = text(van)
    ran = typing(*LINES, van, "--sheet", "1", answers=("f4 radio rd", "", answer))
    assert ran.code == 130 and "Stopped." in ran.err and text(van) == before


def test_a_file_is_asked_about_at_a_terminal(van: Path, tmp_path: Path, typing: AtTerminal) -> None:
    (tmp_path / "typed.txt").write_text("f4 radio gnye\nf3 doors.7 =\n")
    ran = typing(*LINES, van, tmp_path / "typed.txt", "--sheet", "1", answers=("2", "y"))
    assert ran.code == 0 and "CAB.F4 -> RADIO in GNYE\nCAB.F3 -> DOORS.7 in GNYE\n" in text(van)


def test_an_error_in_the_platform_keeps_it_from_being_written(van: Path, piped: AtTerminal) -> None:
    before = text(van)
    ran = piped(*LINES, van, "--sheet", "1", text="f4 cab.f4 rd\n")
    assert ran.code == 1 and text(van) == before
    assert "New in circuitmap check:" in ran.err and "Nothing was written." in ran.err


def test_a_warning_is_told_and_it_is_written(van: Path, piped: AtTerminal) -> None:
    ran = piped(*LINES, van, "--sheet", "2", text="f2 x14.14 sp5 bk 1\n")
    assert ran.code == 0 and "CAB.F2 -> X14.14 -> SP5 in BK 1\n" in text(van)
    assert "[wire-disagrees]" in ran.err


def test_a_new_sheet_gets_a_file_of_its_own(van: Path, piped: AtTerminal) -> None:
    ran = piped(*LINES, van, "--sheet", "61/3 a", "--title", 'the "lift"', text="f4 radio rd\n")
    assert ran.code == 0
    assert (van / "61-3-a.circuit").read_text() == 'sheet "61/3 a" "the \\"lift\\""\nCAB.F4 -> RADIO in RD\n'
    again = piped(*LINES, van, "--sheet", "61-3 a", "--title", "another", text="f4 radio rd\n")
    assert again.code == 2 and "There is a file 61-3-a.circuit" in again.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--sheet", "7"), "There is no sheet 7."),
        (("--sheet", "1", "--title", "x"), "Sheet 1 is there already."),
        ((), "Missing option '--sheet'"),
    ],
)
def test_a_sheet_that_cannot_be_meant(van: Path, piped: AtTerminal, words: tuple[str, ...], says: str) -> None:
    ran = piped(*LINES, van, *words, text="f4 radio rd\n")
    assert ran.code == 2 and says in ran.err


@pytest.mark.parametrize("content", [b"f4 radio \xff\n", b"f4\0radio\n"])
def test_what_is_no_text_is_refused(van: Path, piped: AtTerminal, content: bytes) -> None:
    before = text(van)
    ran = piped(*LINES, van, "--sheet", "1", text=content)
    assert ran.code == 3 and text(van) == before


def test_line_ends_and_the_mark_at_the_beginning_are_kept(van: Path, piped: AtTerminal) -> None:
    before = ("\N{ZERO WIDTH NO-BREAK SPACE}" + text(van).rstrip("\n")).replace("\n", "\r\n")
    (van / "van.circuit").write_bytes(before.encode())
    ran = piped(*LINES, van, "--sheet", "2", text="f4 radio rd\r\n")
    assert ran.code == 0
    assert text(van) == before + "\r\nCAB.F4 -> RADIO in RD\r\n"


def test_what_somebody_else_wrote_meanwhile_stays(
    van: Path, piped: AtTerminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = transcribing.write_addition

    def later(*its: object) -> Path:
        (van / "van.circuit").write_text(text(van) + "# mine\n")
        return write(*its)  # type: ignore[arg-type]

    monkeypatch.setattr(transcribing, "write_addition", later)
    ran = piped(*LINES, van, "--sheet", "1", text="f4 radio rd\n")
    assert ran.code == 3 and "changed by somebody else" in ran.err and text(van).endswith("# mine\n")


def test_json_never_asks(van: Path, typing: AtTerminal, tmp_path: Path) -> None:
    (tmp_path / "typed.txt").write_text("f4 radio gnye\n")
    ran = typing(*LINES, van, tmp_path / "typed.txt", "--sheet", "1", "--json", answers=())
    assert ran.code == 1 and ran.json["written"] == ""
    assert ran.json["questions"][0]["choices"] == ["GN/YE", "GNYE"]


def test_nothing_typed_is_nothing_written(van: Path, piped: AtTerminal, circuitmap: Run) -> None:
    before = text(van)
    ran = piped(*LINES, van, "--sheet", "1", text="\n\n")
    assert (ran.code, text(van)) == (0, before) and "There is no line to write." in ran.err
