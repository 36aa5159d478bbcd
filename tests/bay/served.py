"""The bay page as it is served to phones: a program of its own, which can be killed and started again."""

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from queue import Empty, Queue
from threading import Thread
from typing import Any

ROOT = Path(__file__).parent.parent.parent
_PAIR = re.compile(r"(http://\S+/)#pair=(\S+)")


def _heeds_interrupts() -> None:
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@dataclass
class Served:
    """`port` 0: any that is free; from then on the same one. `card` is that of a test, `title` how the shelf calls it;
    `cookies` are those of the phones that are paired, by whose they are."""

    what: Path
    port: int = 0
    base: str = ""
    process: Any = None
    codes: Queue[str] = field(default_factory=Queue)
    said: list[str] = field(default_factory=list)
    program: tuple[str, ...] = ("-m", "circuitmap")
    card: Path = Path()
    title: str = ""
    cookies: dict[str, Any] = field(default_factory=dict)

    def start(self, *more: str) -> None:
        words = [sys.executable, *self.program, "bay", str(self.what), "--port", str(self.port), *more]
        env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
        # Whatever runs the tests in the background has its children ignore Ctrl-C; a shop's terminal does not.
        self.process = subprocess.Popen(
            words, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8",
            preexec_fn=_heeds_interrupts if os.name == "posix" else None,
        )  # fmt: skip
        Thread(target=self._listen, args=(self.process,), daemon=True).start()
        self.codes = Queue()
        self.code()

    def _listen(self, process: Any) -> None:
        for line in process.stdout:
            self.said.append(line)
            if match := _PAIR.search(line):
                self.base = match[1]
                self.port = int(match[1].rpartition(":")[2].strip("/"))
                self.codes.put(match[2])

    def code(self) -> str:
        """The code that is shown now. Of several the last: each replaces the one before."""
        code = self.codes.get(timeout=60)
        try:
            while True:
                code = self.codes.get_nowait()
        except Empty:
            self.codes.put(code)
            return code

    def next_code(self, used: str) -> str:
        """The code that is shown once `used` was used; it may be there already."""
        while (code := self.codes.get(timeout=60)) == used:
            pass
        self.codes.put(code)
        return code

    def kill(self) -> None:
        self.process.kill()
        self.process.wait(10)

    def interrupt(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return int(self.process.wait(15))


DIES_AFTER_SAVING = """
import os, sys
from pathlib import Path
import circuitmap.flows.desk as desk
from circuitmap.cli.main import run
real, sign = desk.update, Path(os.environ["DIE_SIGN"])
def update(*about):
    real(*about)
    if sign.exists():
        sign.unlink()
        os._exit(9)  # the card has it, and nobody was told
desk.update = update
run()
"""
"""The same program, but that it dies between a save and its answer when the file that DIE_SIGN names is there."""


@contextmanager
def served(what: Path, *more: str) -> Iterator[Served]:
    its = Served(what)
    its.start(*more)
    try:
        yield its
    finally:
        if its.process.poll() is None:
            its.kill()
