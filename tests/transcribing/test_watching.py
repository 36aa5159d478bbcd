"""`circuitmap watch`: each save is told once, what is wrong is told with its place, and the sheet that was saved is drawn."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from circuitmap.flows.watching import LOOK_SECONDS, SeenSave, Watching
from tests.cli.conftest import Run, circuitmap
from tests.transcribing.typing_shop import HEADING, begun_shop

__all__ = ["circuitmap"]
ROOT = Path(__file__).parents[2]


class EnoughError(Exception):
    """Ends a watch."""


def seen_with(folder: Path, edits: list[object], **more: object) -> list[SeenSave]:
    """What is told when one edit (a call, or nothing) comes before each look at the times of the files."""
    told: list[SeenSave] = []
    watching = Watching(folder, **more)  # type: ignore[arg-type]

    def wait(seconds: float) -> None:
        assert seconds == LOOK_SECONDS
        if not edits:
            raise EnoughError
        edit = edits.pop(0)
        if callable(edit):
            edit()

    with pytest.raises(EnoughError):
        watching.watch(told.append, wait)
    watching.pictures.close()
    return told


def test_a_save_is_told_once_it_has_settled(tmp_path: Path) -> None:
    file = begun_shop(tmp_path)

    def add(text: str) -> object:
        return lambda: file.write_text(file.read_text() + text)

    edits = [None, None, add("FRM.F40 -> X61.1 in RDX 10\n"), add("# more\n"), None, None, add("# again\n"), None]
    first, second, third = seen_with(file.parent, edits)
    assert first.problems == first.new and not first.gone
    assert [(its.severity.word, its.span.line) for its in second.new if its.severity] == [("error", 28)]
    assert third.new == () and len(third.problems) == len(second.problems)


def test_what_was_mended_is_gone(tmp_path: Path) -> None:
    file = begun_shop(tmp_path)
    right = file.read_text()
    file.write_text(right + "FRM.F40 -> X61.1 in RDX 10\n")
    before, after = seen_with(file.parent, [None, lambda: file.write_text(right), None, None])
    assert any(its.severity == 2 for its in before.problems) and after.gone >= 1
    assert not any(its.severity == 2 for its in after.problems)


def test_the_sheet_that_was_saved_is_drawn(tmp_path: Path) -> None:
    file, out = begun_shop(tmp_path), tmp_path / "sheet.svg"
    other = file.parent / "b.circuit"
    other.write_text('sheet "9" "other"\nFRM.F42 -> LL1 in OG 1\n')
    told = seen_with(
        file.parent,
        [None, lambda: file.write_text(file.read_text() + "FRM.F43 -> WL1 in GN 1\n"), None, None],
        output=out,
    )
    assert [its.drawn.split()[1] for its in told] == ["9", "61-02"] and "WL1" in out.read_text()
    [told_once] = seen_with(file.parent, [None, None], output=out, sheet="9")
    assert told_once.drawn.startswith("sheet 9 ") and "LL1" in out.read_text()


def test_what_cannot_be_read_for_a_moment_does_not_end_it(tmp_path: Path) -> None:
    file = begun_shop(tmp_path)
    right = file.read_bytes()
    edits = [None, file.unlink, None, None, lambda: file.write_bytes(right), None, None]
    first, gone, back = seen_with(file.parent, edits)
    assert "There is no .circuit file" in gone.trouble and not back.trouble and back.problems == first.problems


def test_a_sheet_that_is_not_there_is_told_with_the_problems(tmp_path: Path) -> None:
    file = begun_shop(tmp_path)
    [told] = seen_with(file.parent, [None, None], output=tmp_path / "x.svg", sheet="7")
    assert "There is no sheet 7" in told.trouble and told.problems and not told.drawn


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("nowhere",), 3, "no folder"),
        (("plover", "-o", "x.doc"), 2, "its name ends in one of"),
        (("plover", "--sheet", "1"), 2, "name a file with -o"),
    ],
)
def test_wrong_use_is_told_at_once(
    tmp_path: Path, circuitmap: Run, words: tuple[str, ...], code: int, says: str
) -> None:
    begun_shop(tmp_path)
    ran = circuitmap("watch", tmp_path / words[0], *words[1:])
    assert ran.code == code and says in ran.err


def test_the_command_tells_and_ends_with_ctrl_c(tmp_path: Path) -> None:
    file, out = begun_shop(tmp_path), tmp_path / "sheet.svg"
    running = subprocess.Popen(
        [sys.executable, "-m", "circuitmap", "watch", str(file.parent), "-o", str(out)],
        env={**os.environ, "PYTHONPATH": str(ROOT)}, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler) and None,
    )  # fmt: skip
    assert running.stdout is not None
    lines = iter(running.stdout.readline, "")
    assert any("Drew sheet 61-02" in line for line in lines)
    file.write_text(file.read_text() + "FRM.F40 -> X61.1 in RDX 10\n")
    told = ""
    for line in lines:
        told += line
        if "Drew" in line:
            break
    assert f"plover.circuit:{len(file.read_text().splitlines())}:" in told and "RDX" in told and "1 error" in told
    running.send_signal(signal.SIGINT)
    ends = time.monotonic() + 20
    while running.poll() is None and time.monotonic() < ends:
        time.sleep(0.05)
    assert running.returncode == 130 and HEADING in file.read_text()
