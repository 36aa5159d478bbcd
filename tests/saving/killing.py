"""Killing a writer at each of its system calls, one run a call, with strace."""

import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

MARK = "here-the-save-begins"
BEGIN = f"""
import os
def mark():
    try:
        os.chdir("/{MARK}")
    except OSError:
        pass
"""
"""Python text that a writer runs before it saves: only system calls after `mark()` are ours."""

DONE = """
os.write(1, b"done")
os._exit(0)
"""
"""Python text for the end of a writer: it acknowledges, and leaves without the interpreter's own tidying up."""


def calls_after_mark(trace: str) -> list[tuple[str, int]]:
    """(system call, its number in the whole run) for every call after the mark."""
    counts: Counter[str] = Counter()
    ours = []
    begun = False
    for line in trace.splitlines():
        call = re.match(r"(?:\d+ +)?(\w+)\(", line)
        if call is None:
            continue
        counts[call[1]] += 1
        if begun and call[1] != "exit_group":
            ours.append((call[1], counts[call[1]]))
        begun = begun or MARK in line
    return ours


def killed_everywhere(writer: str, words: list[str], folder: Path, before: dict[str, bytes | None]) -> Iterator[bool]:
    """Run the writer once for each of its system calls, killed there; `before` is laid out anew each time.

    Yields, after each run, whether the writer had acknowledged.
    """
    if shutil.which("strace") is None:
        pytest.skip("needs strace to kill a writer at each of its system calls")
    command = [sys.executable, "-c", writer, *words]
    root = str(Path(__file__).parents[2])
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": root}

    def lay_out() -> None:
        for name, content in before.items():
            if content is None:
                (folder / name).unlink(missing_ok=True)
            else:
                (folder / name).write_bytes(content)

    lay_out()
    trace = folder.parent / "trace"
    subprocess.run(["strace", "-o", str(trace), *command], check=True, capture_output=True, env=environment)
    points = calls_after_mark(trace.read_text())
    assert {"fsync", "rename", "write"} <= {call for call, _ in points}
    killed = 0
    for call, number in points:
        lay_out()
        inject = ["strace", "-o", "/dev/null", "-e", f"trace={call}"]
        inject += ["-e", f"inject={call}:signal=KILL:when={number}"]
        done = subprocess.run([*inject, *command], check=False, capture_output=True, env=environment)
        killed += done.returncode != 0
        yield b"done" in done.stdout
    assert killed >= len(points) * 0.8
