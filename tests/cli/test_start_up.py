"""What each command loads: a library that it does not use costs every user its loading time."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import QUERIES, ROOT

HEAVY = {"lark", "networkx", "numpy", "scipy", "yaml", "graphviz", "pygraphviz", "resvg_py", "fpdf", "PIL", "fontTools"}
HEAVY |= {"starlette", "uvicorn", "segno"}
HEAVY |= {"numpy.ma", "numpy.polynomial"}  # loaded by numpy itself only when something in them is used
"""Libraries, and parts of one, that take five milliseconds and more to load."""

MAY_LOAD = {
    "common": {"networkx"},
    "suspects": {"numpy", "yaml"},
    "logged": {"numpy", "numpy.ma"},  # by its median
    "worksheet.pdf": {
        "fpdf",
        "PIL",
        "fontTools",
        "numpy",
        "numpy.ma",
        "numpy.polynomial",
    },  # fpdf2 looks for numpy by itself
    "diagram": {"graphviz"},
    "diagram.png": {"resvg_py"},
    "diagram.pdf": {"fpdf", "PIL", "fontTools", "numpy", "numpy.ma", "numpy.polynomial"},
}
"""The libraries that a command (with a kind of file) may load; all other commands load none."""

ASKED = [
    ("--help",),
    ("trace", "--help"),
    ("explain", "missing-comma"),
    *QUERIES,
    ("logged", str(ROOT / "tests" / "recording" / "layouts" / "l01_plain.csv")),
    ("worksheet", "PLATFORM", "-o", "OUT.pdf"),
    ("worksheet", "PLATFORM", "-o", "OUT.html"),
    ("diagram", "PLATFORM", "HEATER", "-o", "OUT.png"),
    ("diagram", "PLATFORM", "HEATER", "-o", "OUT.pdf"),
    ("diagram", "PLATFORM", "HEATER", "-o", "OUT.dot"),
]

LOADED = """
import sys
from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
code = end_of(program, sys.argv[1:])
assert code in (0, 1), code
print("\\nLOADED", *sorted(sys.modules), file=sys.stderr)
"""


def loaded_by(words: tuple[str, ...], platform: Path, room: Path) -> set[str]:
    """The modules that are loaded when a command has ended."""
    filled = [w.replace("PLATFORM", str(platform)).replace("OUT", str(room / "out")) for w in words]
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *filled],
        env={"PYTHONPATH": str(ROOT), "CIRCUITMAP_CACHE": ""},
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stderr.rpartition("\nLOADED ")[2].split())


@pytest.mark.parametrize("words", ASKED, ids=" ".join)
def test_a_command_loads_what_it_uses(words: tuple[str, ...], van: Path, tmp_path: Path) -> None:
    modules = loaded_by(words, van, tmp_path)
    kind = words[-1].rpartition(".")[2] if "-o" in words else ""
    allowed = MAY_LOAD.get(words[0], set()) | MAY_LOAD.get(f"{words[0]}.{kind}", set())
    too_much = sorted((HEAVY & modules) - allowed)
    assert not too_much


def test_help_loads_no_command(van: Path, tmp_path: Path) -> None:
    ours = {name for name in loaded_by(("--help",), van, tmp_path) if name.startswith("circuitmap.")}
    assert ours <= {
        "circuitmap.cli",
        "circuitmap.cli.main",
        "circuitmap.cli.ending",
        "circuitmap.cli.printing",
        "circuitmap.failures",
        "circuitmap.written",
    }


@pytest.mark.parametrize(("command", "free_of"), [("check", "networkx"), ("trace", "numpy")])
def test_what_was_promised(command: str, free_of: str, van: Path, tmp_path: Path) -> None:
    words = next(query for query in QUERIES if query[0] == command)
    assert free_of not in loaded_by(words, van, tmp_path)


THREADS = """
import os, sys
from circuitmap.cli.main import run
try:
    run()
except SystemExit as end:
    assert end.code in (0, 1), end.code
assert "numpy" in sys.modules
print("\\nTHREADS", len(os.listdir("/proc/self/task")))
"""


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="threads are counted as Linux shows them")
def test_suspects_starts_no_threads(van: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", THREADS, "suspects", str(van), "BAT=0.9A"],
        env={"PYTHONPATH": str(ROOT), "CIRCUITMAP_CACHE": ""},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.rpartition("\nTHREADS ")[2].split() == ["1"]
