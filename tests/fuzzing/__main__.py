"""`python -m tests.fuzzing [NAME ...] [--seconds N] [--seed N] [--coverage]`: look for inputs that break a law.

Plain: random bytes and mutations of a corpus made of the sample vehicles, an even share of the time for each target.
`--coverage` lets atheris (the extra `fuzz`) lead the search, for one target at a time. What breaks, and what takes long,
is written to the folder that is printed, and can be run again: `python -m tests.fuzzing NAME --again FILE`.
"""

import argparse
import importlib
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from random import Random
from types import ModuleType

SLOW = 2.0
"""Seconds of the processor from which an input is kept: the promise is ten."""
MOST_BROKEN = 5
LONGEST = 800
"""Bytes of an input when the search is led."""


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzzing", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help="what is fuzzed; without a name, all that there is")
    parser.add_argument("--seconds", type=float, default=60.0, help="for all of them together")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--coverage", action="store_true", help="led by atheris")
    parser.add_argument("--again", type=Path, help="run one input that was kept")
    asked = parser.parse_args()
    made = with_coverage() if asked.coverage else targets()
    if made is None:
        print('atheris is not installed: pip install ".[fuzz]"')
        return 2
    unknown = [name for name in asked.names if name not in made.TARGETS]
    if unknown:
        parser.error(f"no target is called {unknown[0]}: {', '.join(made.TARGETS)}")
    names = asked.names or list(made.TARGETS)
    if asked.again:
        made.TARGETS[names[0]](asked.again.read_bytes())
        return 0
    if asked.coverage:
        if len(names) > 1:
            parser.error("--coverage leads the search for one target: name it")
        led(Runs(names[0], made.TARGETS[names[0]], asked.seconds), made.corpus(), asked.seed)
    found = 0
    for name in names:
        runs, random = Runs(name, made.TARGETS[name], asked.seconds / len(names)), Random(asked.seed)
        while not runs.over:
            runs.run(made.mutated(random, made.corpus()))
        print(runs.told())
        found += runs.broken
    return 1 if found else 0


class Runs:
    """Inputs of one target for so many seconds: how many, the longest, and what broke."""

    def __init__(self, name: str, target: Callable[[bytes], None], seconds: float) -> None:
        self.name, self.target, self.end = name, target, time.monotonic() + seconds
        self.count, self.longest, self.broken = 0, 0.0, 0

    @property
    def over(self) -> bool:
        return time.monotonic() >= self.end or self.broken >= MOST_BROKEN

    def run(self, data: bytes) -> None:
        began = time.process_time()
        try:
            self.target(data)
        except Exception as error:
            self.broken += 1
            self._keep(data, f"{type(error).__name__}: {str(error)[:300]}")
        took = time.process_time() - began
        if took > SLOW:
            self._keep(data, f"took {took:.1f} s")
        self.count, self.longest = self.count + 1, max(self.longest, took)

    def told(self) -> str:
        return f"{self.name}: {self.count:,} inputs, the longest {self.longest:.2f} s, {self.broken} broken"

    def _keep(self, data: bytes, why: str) -> None:
        kept = Path(tempfile.mkdtemp(prefix="fuzz-")) / self.name
        kept.write_bytes(data)
        print(f"{self.name}: {why}\n  kept in {kept}", flush=True)


def targets() -> ModuleType:
    return importlib.import_module("tests.fuzzing.targets")


def with_coverage() -> ModuleType | None:
    """The targets, and the program that they call told to say where it goes: that is done as it is imported. None
    without atheris. Libraries are left as they are: they would take most of the time."""
    try:
        import atheris
    except ImportError:
        return None
    with atheris.instrument_imports(include=["circuitmap"], enable_loader_override=False):
        for file in sorted((Path(__file__).parents[2] / "circuitmap").rglob("*.py")):
            if file.name != "__main__.py":  # what a command imports only when it is run
                importlib.import_module(".".join(file.relative_to(Path(__file__).parents[2]).with_suffix("").parts))
        return targets()


def led(runs: Runs, corpus: tuple[bytes, ...], seed: int) -> None:
    """The same, led by what parts of the program an input reaches. It never returns: atheris has no other end than that
    of the process."""
    import atheris

    def one(data: bytes) -> None:
        if runs.over:
            new = sum(1 for _ in folder.iterdir()) - len(corpus)
            shutil.rmtree(folder)
            print(f"{runs.told()}; {new:,} of them reached something new", flush=True)
            os._exit(1 if runs.broken else 0)
        runs.run(data)

    folder = Path(tempfile.mkdtemp(prefix="corpus-"))
    for number, data in enumerate(corpus):
        (folder / str(number)).write_bytes(data)
    words = (f"-max_len={LONGEST}", f"-seed={seed + 1}", "-timeout=600", "-rss_limit_mb=4000", "-verbosity=0")
    atheris.Setup([sys.argv[0], *words, str(folder)], one)
    atheris.Fuzz()


if __name__ == "__main__":
    sys.exit(main())
