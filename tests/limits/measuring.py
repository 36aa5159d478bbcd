"""One command in a process of its own, its memory bounded: how long it took, how much memory, and how it ended."""

import os
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
ADDRESS_SPACE = 4_000_000_000
"""Bytes that a process may reserve: far above the promise, so that a broken one ends here and not with the machine."""


class Measured(NamedTuple):
    """`seconds` are seconds of processor time, of the command and all that it started, so that a busy machine matters
    little; `by_the_clock` are those that went by. `code` is the exit code, None for a command that had to be ended;
    `said` is the size of its answer in bytes."""

    seconds: float
    by_the_clock: float
    megabytes: float
    code: int | None
    said: int
    answer: bytes
    complaint: bytes


def measured(words: tuple[str, ...], room: Path, patience: float) -> Measured:
    """Run `circuitmap` with these words, for at most a given number of seconds of work; for the memory its largest
    process counts, including those that it started."""

    def bound() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))
        resource.setrlimit(resource.RLIMIT_CPU, (int(patience), int(patience) + 2))

    environment = {**os.environ, "CIRCUITMAP_CACHE": "", "PYTHONPATH": str(ROOT), "CIRCUITMAP_TRACEBACK": "1"}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program is compiled
    out, err = room / "stdout", room / "stderr"
    began = time.perf_counter()
    with out.open("wb") as stdout, err.open("wb") as stderr:
        process = subprocess.Popen(
            [sys.executable, "-m", "circuitmap", *words],
            stdout=stdout, stderr=stderr, stdin=subprocess.DEVNULL, env=environment, preexec_fn=bound, cwd=room,
            start_new_session=True,
        )  # fmt: skip
        ended = False
        while True:
            done, status, usage = os.wait4(process.pid, os.WNOHANG)
            if done:
                break
            if time.perf_counter() - began > 6 * patience and not ended:
                os.killpg(process.pid, 9)
                ended = True
            time.sleep(0.01)
    by_the_clock = time.perf_counter() - began
    code = os.waitstatus_to_exitcode(status)
    ended = ended or code in (-9, -signal.SIGXCPU)
    process.returncode = code
    took = usage.ru_utime + usage.ru_stime
    written = sum(file.stat().st_size for file in room.iterdir() if file.name[1:] in (".txt", ".pdf", ".html", ".svg"))
    answer = out.read_bytes()
    return Measured(
        took, by_the_clock, usage.ru_maxrss / 1024, None if ended else code, len(answer) + written, answer[:100_000],
        err.read_bytes()[-3000:],
    )  # fmt: skip
