"""`circuitmap transcribe lines` at a terminal: what was typed is written, or kept in a file that is named; also where it
ends by Ctrl-D or Ctrl-C, or is killed."""

import io
import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from circuitmap.cli import transcribe
from tests.cli.conftest import ROOT, Run
from tests.transcribing.conftest import AtTerminal
from tests.transcribing.test_lines_command import LINES, text

KEPT = "CAB.F4 -> RADIO in RD 1\nRADIO -> G2 in BN\n"
TYPED = ("f4 radio rd 1", "~ g2 bn")


class Keyboard(io.StringIO):
    """Lines that are typed, then what ends it: nothing is Ctrl-D, an exception is thrown as Ctrl-C does."""

    def __init__(self, lines: tuple[str, ...], end: type[BaseException] | None) -> None:
        super().__init__("".join(f"{line}\n" for line in lines))
        self.end = end

    def readline(self, size: int | None = -1, /) -> str:
        line = super().readline(-1 if size is None else size)
        if not line and self.end is not None:
            raise self.end
        return line


def typed(run: Run, van: Path, monkeypatch: pytest.MonkeyPatch, *lines: str, end: type[BaseException] | None = None):  # type: ignore[no-untyped-def]
    monkeypatch.setattr(transcribe, "is_terminal", lambda: True)
    monkeypatch.setattr(sys, "stdin", Keyboard(lines, end))
    return run(*LINES, van, "--sheet", "1")


@pytest.mark.parametrize("end", [None, KeyboardInterrupt])
def test_ctrl_d_and_ctrl_c_keep_what_was_typed_and_say_where(
    van: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch, end: type[BaseException] | None
) -> None:
    before = text(van)
    ran = typed(circuitmap, van, monkeypatch, *TYPED, end=end)
    assert ran.code == 130 and text(van) == before
    assert (van / "1.typed").read_text() == KEPT
    assert f"2 lines are kept in {van / '1.typed'}" in ran.err


def test_ctrl_d_is_the_end_and_asks_before_it_is_written(
    van: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At a real terminal the next question can still be answered."""
    ran = typed(circuitmap, van, monkeypatch, *TYPED)
    assert "Write 2 lines to van.circuit?" in ran.out


def test_ctrl_c_does_not_go_on_to_the_question(van: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    ran = typed(circuitmap, van, monkeypatch, *TYPED, end=KeyboardInterrupt)
    assert "Write 2 lines" not in ran.out


def test_a_line_that_is_being_asked_about_is_kept_as_it_was_typed(
    van: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran = typed(circuitmap, van, monkeypatch, TYPED[0], "nobody g2 bn")
    assert ran.code == 130 and (van / "1.typed").read_text() == "CAB.F4 -> RADIO in RD 1\nnobody g2 bn\n"


def test_the_same_command_takes_it_up_again(van: Path, typing: AtTerminal) -> None:
    (van / "1.typed").write_text(KEPT)
    ran = typing(*LINES, van, "--sheet", "1", answers=("y", "f3 doors.7 =", "", "y"))
    assert ran.code == 0, ran
    assert "2 lines were typed and not written" in ran.out
    assert f"{KEPT}CAB.F3 -> DOORS.7 in BN\n" in text(van) and not (van / "1.typed").exists()


def test_a_no_leaves_it_alone(van: Path, typing: AtTerminal) -> None:
    (van / "1.typed").write_text(KEPT)
    ran = typing(*LINES, van, "--sheet", "1", answers=("n", "", "f3 doors.7 bn", "", "y"))
    assert ran.code == 0 and KEPT not in text(van) and (van / "1.typed").read_text() == KEPT
    again = typing(*LINES, van, "--sheet", "1", answers=("n", "n", "f2 radio bn"))
    assert again.code == 130 and (van / "1-2.typed").read_text() == "CAB.F2 -> RADIO in BN\n"


def test_a_no_to_writing_keeps_it(van: Path, typing: AtTerminal) -> None:
    ran = typing(*LINES, van, "--sheet", "1", answers=(*TYPED, "", "n"))
    assert ran.code == 130 and (van / "1.typed").read_text() == KEPT and "are kept in" in ran.err


def test_what_is_wrong_in_the_platform_is_kept(van: Path, typing: AtTerminal) -> None:
    ran = typing(*LINES, van, "--sheet", "1", answers=("CAB.F4 -> CAB.F4 in RD", ""))
    assert ran.code == 1 and (van / "1.typed").read_text() == "CAB.F4 -> CAB.F4 in RD\n"
    assert "1 line is kept in" in ran.err


def test_answers_about_a_file_are_kept(
    van: Path, tmp_path: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "typed.txt").write_text("f4 radio gnye\nf3 doors.7 gnye\n")
    monkeypatch.setattr(transcribe, "is_terminal", lambda: True)
    monkeypatch.setattr(sys, "stdin", Keyboard(("1",), KeyboardInterrupt))
    ran = circuitmap(*LINES, van, tmp_path / "typed.txt", "--sheet", "1")
    assert ran.code == 130 and (van / "1.typed").read_text() == "CAB.F4 -> RADIO in GN/YE\nf3 doors.7 gnye\n"


def test_what_was_written_is_not_kept_besides(van: Path, typing: AtTerminal) -> None:
    assert typing(*LINES, van, "--sheet", "1", answers=(*TYPED, "", "y")).code == 0
    assert typing(*LINES, van, "--sheet", "1", answers=("",)).code == 0
    assert [file.name for file in van.iterdir() if file.suffix == ".typed"] == []


def test_where_it_cannot_be_kept_it_is_shown(van: Path, typing: AtTerminal, monkeypatch: pytest.MonkeyPatch) -> None:
    from circuitmap.flows import typed_draft

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(typed_draft, "replace_private", full)
    ran = typing(*LINES, van, "--sheet", "1", answers=TYPED)
    assert ran.code == 130 and f"No space left on device. These lines are in no file:\n{KEPT}" in ran.err


# ---- in a process of its own ----


def _at_a_terminal(van: Path) -> tuple[int, int]:
    words = [sys.executable, "-m", "circuitmap", *LINES, str(van), "--sheet", "1"]
    number, keyboard = pty.fork()
    if number == 0:  # pragma: no cover
        os.environ["PYTHONPATH"] = str(ROOT)
        signal.signal(signal.SIGHUP, signal.SIG_DFL)  # whoever started the tests may have had it ignored
        os.execv(words[0], words)
    return number, keyboard


def _wait_for(number: int, seconds: float = 30.0) -> int:
    """The status with which a process ends; one that does not end is killed, and that is an error."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        ended, status = os.waitpid(number, os.WNOHANG)
        if ended:
            return status
        time.sleep(0.02)
    os.kill(number, signal.SIGKILL)
    os.waitpid(number, 0)
    raise AssertionError("it did not end")


def _read_until(keyboard: int, wanted: str, seconds: float = 30.0) -> str:
    seen, end = "", time.monotonic() + seconds
    while wanted not in seen and time.monotonic() < end:
        if select.select([keyboard], [], [], 0.2)[0]:
            seen += os.read(keyboard, 4096).decode("utf-8", "replace")
    assert wanted in seen, seen
    return seen


@pytest.mark.parametrize("sign", [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP])
def test_killed_it_is_there(van: Path, sign: signal.Signals) -> None:
    number, keyboard = _at_a_terminal(van)
    try:
        _read_until(keyboard, "empty line ends")
        for line, became in zip(TYPED, KEPT.splitlines(), strict=True):
            os.write(keyboard, f"{line}\n".encode())
            _read_until(keyboard, became)
        os.kill(number, sign)
        _wait_for(number)
    finally:
        os.close(keyboard)
    assert (van / "1.typed").read_text() == KEPT


def test_ctrl_d_at_a_real_terminal_asks_and_a_yes_writes(van: Path) -> None:
    number, keyboard = _at_a_terminal(van)
    try:
        _read_until(keyboard, "empty line ends")
        os.write(keyboard, f"{TYPED[0]}\n".encode())
        _read_until(keyboard, "CAB.F4 -> RADIO")
        os.write(keyboard, b"\x04")
        _read_until(keyboard, "Write 1 line")
        os.write(keyboard, b"y\n")
        _read_until(keyboard, "Wrote 1 line")
        assert os.waitstatus_to_exitcode(_wait_for(number)) == 0
    finally:
        os.close(keyboard)
    assert "CAB.F4 -> RADIO in RD 1\n" in text(van) and not (van / "1.typed").exists()


def test_a_closed_pipe_loses_nothing(van: Path) -> None:
    """The reader of what it says has gone before it says anything."""
    read, write = os.pipe()
    os.close(read)
    words = [sys.executable, "-m", "circuitmap", *LINES, str(van), "--sheet", "1"]
    ran = subprocess.run(words, input=b"f4 radio rd 1\n", stdout=write, stderr=subprocess.PIPE, cwd=ROOT, timeout=60)
    os.close(write)
    assert b"Traceback" not in ran.stderr
    assert "CAB.F4 -> RADIO in RD 1\n" in text(van)


# ---- what is typed at a question ----


def test_a_whole_line_typed_at_a_question_is_asked_about(van: Path, typing: AtTerminal) -> None:
    """Somebody types on from the paper while a word is asked: nothing is spliced into the line."""
    answers = ("f4 radio gnye", "radio g2 bn", "2", "1", "", "y")
    ran = typing(*LINES, van, "--sheet", "1", answers=answers)
    assert ran.code == 0, ran
    assert "CAB.F4 -> RADIO in GN/YE\nRADIO -> G2 in BN\n" in text(van) or (
        "CAB.F4 -> RADIO in GNYE\nRADIO -> G2 in BN\n" in text(van)
    )


def test_it_may_take_the_place_of_the_line(van: Path, typing: AtTerminal) -> None:
    ran = typing(*LINES, van, "--sheet", "1", answers=("f4 nobody rd", "f4 radio rd 1", "1", "", "y"))
    assert ran.code == 0 and "CAB.F4 -> RADIO in RD 1\n" in text(van), ran


def test_or_of_the_word(van: Path, typing: AtTerminal) -> None:
    ran = typing(*LINES, van, "--sheet", "1", answers=("f4 nobody rd", "radio g2", "3", "", "y"))
    assert ran.code == 0 and "CAB.F4 -> RADIO -> G2 in RD\n" in text(van), ran


def test_or_is_asked_again(van: Path, typing: AtTerminal) -> None:
    ran = typing(
        *LINES, van, "--sheet", "1", answers=("f4 nobody rd", "radio g2 bn", "f3 doors.7 bn", "radio", "", "y")
    )
    assert ran.code == 0 and "BK/YE 1mm2\nCAB.F4 -> RADIO in RD\n\n" in text(van), ran


@pytest.mark.parametrize("answer", ["radio", '? "sheet 9"', "radio,g2"])
def test_one_end_is_no_line(van: Path, typing: AtTerminal, answer: str) -> None:
    ran = typing(*LINES, van, "--sheet", "1", answers=("f4 nobody rd", answer, "", "y"))
    assert ran.code == 0 and "more than one word" not in ran.out and "in RD\n" in text(van)


# ---- lines that were left ----


def test_left_lines_that_somebody_does_not_want_can_be_thrown_away(van: Path, typing: AtTerminal) -> None:
    (van / "1.typed").write_text(KEPT)
    ran = typing(*LINES, van, "--sheet", "1", answers=("n", "y", ""))
    assert not (van / "1.typed").exists() and KEPT not in text(van), ran


def test_enter_neither_takes_them_up_nor_throws_them_away(van: Path, typing: AtTerminal) -> None:
    (van / "1.typed").write_text(KEPT)
    ran = typing(*LINES, van, "--sheet", "1", answers=("", "", ""))
    assert (van / "1.typed").read_text() == KEPT and KEPT not in text(van), ran


def test_left_lines_that_all_stand_on_the_sheet_are_not_offered(van: Path, typing: AtTerminal) -> None:
    """They were typed once more, or written by hand."""
    assert typing(*LINES, van, "--sheet", "1", answers=(*TYPED, "", "y")).code == 0
    (van / "1.typed").write_text(KEPT)
    ran = typing(*LINES, van, "--sheet", "1", answers=("",))
    assert "typed and not written" not in ran.out and not (van / "1.typed").exists(), ran
