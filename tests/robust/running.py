"""Running the program as somebody who was handed a folder would run it, with an end to every wait."""

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import ROOT, Ran

SECONDS = 30.0
"""Longer than anything here takes on a busy machine: whatever is not done by then hangs."""


def run(
    *words: str | Path,
    within: Path,
    env: Mapping[str, str] | None = None,
    before: Sequence[str] = (),
    **streams: Any,
) -> Ran:
    """`circuitmap WORDS` in a process of its own; `before` is the command that starts it."""
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "stdin": subprocess.DEVNULL, **streams}
    command = [*before, sys.executable, "-m", "circuitmap", *map(str, words)]
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT), **(env or {})}
    try:
        done = subprocess.run(command, check=False, cwd=within, env=surroundings, timeout=SECONDS, **streams)
    except subprocess.TimeoutExpired:
        pytest.fail(f"hung: circuitmap {' '.join(map(str, words))}")
    out, err = ((said or b"").decode("utf-8", "replace") for said in (done.stdout, done.stderr))
    return Ran(done.returncode, out, err)


def clear(ran: Ran, code: int, *says: str) -> None:
    """It ended as published, with words, and said these."""
    assert ran.code == code, ran
    assert "Traceback" not in ran.err and "bug of circuitmap" not in ran.err, ran.err
    for word in says:
        assert word in ran.err, (word, ran)


def as_one_who_may_not() -> tuple[str, ...]:
    """What to start a command with so that a file's permissions bind it: for root, root without these powers."""
    if os.name != "posix":
        pytest.skip("permissions are those of POSIX")
    if os.geteuid():
        return ()
    tool = shutil.which("setpriv")
    if tool is None:
        pytest.skip("root may do everything, and there is no setpriv to take that away")
    started_by = (tool, "--bounding-set=-dac_override,-dac_read_search,-fowner,-chown", "--inh-caps=-all")
    if subprocess.run([*started_by, "true"], check=False, capture_output=True, timeout=SECONDS).returncode:
        pytest.skip("root may do everything, and is not allowed to do less")
    return started_by
