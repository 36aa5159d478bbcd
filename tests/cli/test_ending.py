"""However a run ends: one clear message, the right exit code, never a traceback."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest

from circuitmap.cli import ending
from circuitmap.cli.main import COMMANDS, program
from circuitmap.cli.printing import harmless
from circuitmap.failures import LimitReached
from tests.cli.conftest import ROOT, Run


def test_help_names_every_command(circuitmap: Run) -> None:
    ran = circuitmap("--help")
    assert ran.code == 0
    assert all(f"  {entry.name} " in ran.out for entry in COMMANDS)
    assert max(map(len, ran.out.splitlines())) <= 80


@pytest.mark.parametrize("entry", COMMANDS, ids=lambda entry: entry.name)
def test_every_command_explains_itself(entry: object, circuitmap: Run) -> None:
    name = entry.name  # type: ignore[attr-defined]
    ran = circuitmap(name, "--help")
    assert ran.code == 0
    assert ran.out.startswith(f"Usage: circuitmap {name} ")
    command = program.get_command(click.Context(program), name)
    assert command is not None and command.get_short_help_str(200) == entry.short_help  # type: ignore[attr-defined]
    assert all(p.help for p in command.params if isinstance(p, click.Option)), "every option says what it does"


def test_version(circuitmap: Run) -> None:
    assert circuitmap("--version").out.startswith("circuitmap ")


def test_no_command_at_all(circuitmap: Run) -> None:
    ran = circuitmap()
    assert ran.code in (0, 2)
    assert "Commands:" in ran.out + ran.err


def test_a_misspelt_command_gets_the_near_one(circuitmap: Run) -> None:
    ran = circuitmap("chek")
    assert ran.code == 2
    assert ran.err == (
        "circuitmap: There is no command 'chek'. Did you mean check?\ncircuitmap --help shows how it is used.\n"
    )


@pytest.mark.parametrize(
    "words", [("trace",), ("trace", "x"), ("check", "x", "--what"), ("list", "x", "y"), ("diagram", "x", "A")]
)
def test_wrong_use_is_2(words: tuple[str, ...], circuitmap: Run) -> None:
    ran = circuitmap(*words)
    assert ran.code == 2
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 2 and "--help" in ran.err


def _program_that(raises: BaseException) -> click.Command:
    @click.command()
    @click.option("--json", is_flag=True)
    def command(json: bool) -> None:
        raise raises

    return command


def test_our_own_bug_is_70_and_shows_no_traceback(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(ending.TRACEBACK_VARIABLE, raising=False)
    assert ending.end_of(_program_that(ValueError("odd")), []) == 70
    err = capsys.readouterr().err
    assert "bug of circuitmap" in err and "ValueError: odd" in err and "Traceback" not in err
    monkeypatch.setenv(ending.TRACEBACK_VARIABLE, "1")
    assert ending.end_of(_program_that(ValueError("odd")), []) == 70
    assert "Traceback" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("raised", "code"),
    [
        (LimitReached("Too much."), 4),
        (KeyboardInterrupt(), 130),
        (MemoryError(), 4),
        (PermissionError(13, "Permission denied", "x"), 3),
        (RecursionError("deep"), 70),
    ],
)
def test_exit_codes(raised: BaseException, code: int, capsys: pytest.CaptureFixture[str]) -> None:
    assert ending.end_of(_program_that(raised), []) == code
    out, err = capsys.readouterr()
    assert out == "" and err.strip() and "Traceback" not in err


def test_a_failure_under_json_is_json(capsys: pytest.CaptureFixture[str]) -> None:
    import json

    assert ending.end_of(_program_that(LimitReached("Too much.", "Take less.")), ["--json"]) == 4
    out, err = capsys.readouterr()
    assert json.loads(out) == {
        "format_version": 3,
        "error": {"message": "Too much.", "advice": "Take less.", "exit_code": 4},
    }
    assert err == "circuitmap: Too much.\nTake less.\n"


def test_nothing_on_the_screen_can_steer_the_terminal() -> None:
    assert harmless("a\x1b[31mb\x07\x9bc\u202ed\te\nf\x7f") == "a\ufffd[31mb\ufffd\ufffdc\ufffdd\te\nf\ufffd"
    assert harmless("Türgriff 門") == "Türgriff 門"


def test_a_reader_that_has_seen_enough_is_no_failure(van: Path) -> None:
    done = subprocess.run(
        ["bash", "-o", "pipefail", "-c", f'"{sys.executable}" -m circuitmap list "{van}" | head -c 1 >/dev/null'],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_a_terminal_that_is_not_utf_8(encoding: str, van: Path, fresh_circuitmap: Run) -> None:
    text = (van / "van.circuit").read_text("utf-8").replace("Door control", "Türgriff 門 \N{GREEK SMALL LETTER OMEGA}")
    (van / "van.circuit").write_text(text, "utf-8")
    ran = fresh_circuitmap("list", van, env={"PYTHONIOENCODING": encoding})
    assert ran.code == 0 and ran.err == "" and "DOORS" in ran.out
    assert fresh_circuitmap("list", van, "--json", env={"PYTHONIOENCODING": encoding}).json["parts"]


def test_ctrl_c_says_stopped(van: Path, tmp_path: Path) -> None:
    slow = tmp_path / "slow.py"
    slow.write_text(
        "import signal, sys, time\n"
        # As in a shell that somebody types into; a shell that runs in the background ignores Ctrl-C and passes that on.
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from circuitmap.cli import list_parts, main\n"
        "import circuitmap.flows.questions\n"
        "def forever(*_):\n"
        "    print('ready', flush=True)\n"
        "    time.sleep(60)\n"
        "circuitmap.flows.questions.open_bench = forever\n"
        "main.run()\n",
        "utf-8",
    )
    child = subprocess.Popen(
        [sys.executable, str(slow), "list", str(van)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stdout is not None and child.stderr is not None
    assert child.stdout.readline() == b"ready\n"
    time.sleep(0.1)
    child.send_signal(signal.SIGINT)
    assert child.wait(timeout=20) == 130
    assert child.stderr.read().strip() == b"Stopped."
