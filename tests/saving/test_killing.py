"""kill -9 at every system call of every writer: nothing torn, nothing acknowledged lost, nobody hindered afterwards."""

import ast
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.saving.killing import CANNOT_WATCH, ROOT, UNSOUND, Found
from tests.saving.writers import WRITERS

PACKAGE = ROOT / "circuitmap"
WRITES = ("save", "update", "write_output", "replace_unlocked", "replace_private", "keep")
"""What writes: of `saving`, and `cache.keep`, which goes through it."""


def found_by_killing(name: str) -> Found:
    if not sys.platform.startswith("linux"):
        pytest.skip("a process is stopped at its system calls on Linux only")
    command = [sys.executable, "-m", "tests.saving.killing", name]
    done = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True)
    if done.returncode == CANNOT_WATCH:
        pytest.skip("this system does not let one process watch another")
    assert done.returncode == 0, done.stderr
    return Found(**json.loads(done.stdout))


ALIKE = {
    "diagram png",
    "diagram pdf",
    "diagram dot",
    "worksheet html",
    "worksheet txt",
    "report md",
    "report pdf",
    "share card",
}
"""They write as another row does, by the same call: killed on demand."""


@pytest.mark.slow
@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.on_demand if name in ALIKE else ()) for name in WRITERS]
)
def test_killed_at_every_system_call_a_writer_tears_and_loses_nothing(name: str) -> None:
    found = found_by_killing(name)
    assert found.sound(), found
    assert found.killed > 10


@pytest.mark.parametrize("name", UNSOUND)
def test_a_writer_that_is_not_sound_is_found_out(name: str) -> None:
    found = found_by_killing(name)
    assert not found.sound()
    assert found.torn if name == "torn" else found.lost and not found.torn


def calls_in(file: Path) -> Iterator[tuple[ast.Call, str]]:
    """Each call in a file, with the last part of the called name."""
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Call):
            called = node.func
            yield node, called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")


def files_that_write() -> dict[str, set[str]]:
    """Each file of the package that opens, moves or removes files, with the calls by which it does so."""
    found: dict[str, set[str]] = {}
    for file in sorted(PACKAGE.rglob("*.py")):
        for call, name in calls_in(file):
            if touches_files(call, name):
                found.setdefault(str(file.relative_to(PACKAGE)), set()).add(name)
    return found


ALWAYS = {
    *("write_text", "write_bytes", "mkstemp", "NamedTemporaryFile", "TemporaryFile", "mkdtemp", "TemporaryDirectory"),
    *("unlink", "rmdir", "removedirs", "rmtree", "copyfile", "copy2", "copytree", "truncate", "ftruncate"),
    *("touch", "symlink_to", "hardlink_to", "renames", "mkdir", "makedirs", "output", "savefig"),
}
"""Calls that write or remove whatever they are given (`output` is fpdf's, harmless without a name)."""
OF_OS = {"rename", "replace", "remove", "link", "symlink", "chmod", "write"}


def touches_files(call: ast.Call, name: str) -> bool:
    if name == "output":
        return bool(call.args or call.keywords)
    if name in OF_OS:
        return isinstance(call.func, ast.Attribute) and getattr(call.func.value, "id", "") in ("os", "shutil")
    if name in ("open", "fdopen"):
        words = [n.value for n in ast.walk(call) if isinstance(n, ast.Constant) and isinstance(n.value, str)]
        flags = {n.attr for n in ast.walk(call) if isinstance(n, ast.Attribute)}
        return any(set(word) <= set("rwaxbt+") and set(word) & set("wax+") for word in words) or bool(
            flags & {"O_WRONLY", "O_RDWR", "O_CREAT", "O_TRUNC", "O_APPEND"}
        )
    return name in ALWAYS


def test_nobody_but_saving_writes_files() -> None:
    found = files_that_write()
    assert {"write_bytes", "open", "replace", "unlink"} <= found.pop("saving.py")
    assert found == {
        "one_writer.py": {"open", "link", "rename", "unlink", "rmdir"},  # the claim of whoever writes
        "cache.py": {"mkdir", "unlink"},  # the folder of the cache, and what is too old in it
        "flows/typed_draft.py": {"unlink"},  # what was kept of lines, once they are written
        "cli/ending.py": {"open"},  # the null device, when the reader has closed the pipe
        "drawings/lettering/font_table.py": {"write_text"},  # for developers: tables of this program
        "drawings/placing/graphviz_child.py": {
            "fdopen",
            "TemporaryFile",
            "truncate",
        },  # the pipe to the parent; Graphviz's complaints
        "notation/compile_grammar.py": {"write_text"},  # for developers, too
        "notation/textmate_grammar.py": {"write_text"},
    }


def test_every_writer_is_in_the_table() -> None:
    """A file that calls a writer is known here, with the rows that kill it."""
    callers = {
        str(file.relative_to(PACKAGE))
        for file in sorted(PACKAGE.rglob("*.py"))
        if file.name != "saving.py" and imports_a_writer(file)
    }
    rows = {
        "cli/answering.py": ("diagram svg", "worksheet pdf", "report html", "share platform"),
        "cli/card.py": ("card new",),
        "cli/logged.py": ("logged svg",),
        "cli/merge.py": ("merge", "merge -o"),
        "flows/job.py": ("card add", "card strike"),
        "flows/desk.py": ("card add", "card strike"),  # the same update; the desk itself dies in tests/bay
        "flows/platforms_there.py": ("card new",),  # the same save of a file that was not there
        "flows/kept_beside.py": ("card new",),  # the same
        "web/grants.py": ("bay, a phone forgotten",),
        "notation/tidy_folder.py": ("tidy",),
        "flows/copied.py": ("transcribe sister",),
        "flows/transcribing.py": ("transcribe lines", "transcribe table"),
        "flows/begun_platforms.py": ("transcribe sister",),  # the same saves
        # Its move is that of the cache; killed while lines are typed in tests/transcribing/test_nothing_typed_is_lost.py
        "flows/typed_draft.py": ("platform remembered",),
        "changes/git_driver.py": ("merge --set-up",),
        "flows/watching.py": ("diagram svg",),  # the same call
        "cache.py": ("platform remembered", "index of the shelf"),
        "platform_cache.py": ("platform remembered",),
        "shelf/index.py": ("index of the shelf",),
    }
    assert callers == rows.keys()
    assert {row for names in rows.values() for row in names} <= WRITERS.keys()


def imports_a_writer(file: Path) -> bool:
    return any(
        isinstance(node, ast.ImportFrom)
        and node.module in ("circuitmap.saving", "circuitmap.cache", "circuitmap")
        and any(alias.name in (*WRITES, "saving") for alias in node.names)
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
    )
