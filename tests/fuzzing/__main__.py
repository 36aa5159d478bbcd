"""`python -m tests.fuzzing [NAME ...] [--seconds N] [--seed N] [--coverage]`: look for inputs that break a law.

Plain: random bytes and mutations of a corpus made of the sample vehicles, an even share of the time for each target.
`--coverage` lets atheris (the extra `fuzz`) lead the search, for one target at a time. What breaks is written to the
folder that is printed, and can be run again: `python -m tests.fuzzing NAME --again FILE`.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

from tests.fuzzing.targets import TARGETS, corpus, mutated


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzzing", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(TARGETS))
    parser.add_argument("--seconds", type=float, default=60.0, help="for all of them together")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--coverage", action="store_true", help="led by atheris")
    parser.add_argument("--again", type=Path, help="run one input that was kept")
    asked = parser.parse_args()
    unknown = [name for name in asked.names if name not in TARGETS]
    if unknown:
        parser.error(f"no target is called {unknown[0]}: {', '.join(TARGETS)}")
    names = asked.names or list(TARGETS)
    if asked.again:
        TARGETS[names[0]](asked.again.read_bytes())
        return 0
    if asked.coverage:
        return led(names[0], asked.seconds)
    found = 0
    for name in names:
        found += plain(name, TARGETS[name], asked.seconds / len(names), asked.seed)
    return 1 if found else 0


def plain(name: str, target: Callable[[bytes], None], seconds: float, seed: int) -> int:
    """Random inputs for so long; tells how many, the longest, and what broke."""
    random, seeds = Random(seed), corpus()
    end, count, longest, broken = time.monotonic() + seconds, 0, 0.0, 0
    while time.monotonic() < end and broken < 5:
        data = mutated(random, seeds)
        started = time.monotonic()
        try:
            target(data)
        except Exception as error:
            broken += 1
            kept = Path(tempfile.mkdtemp(prefix="fuzz-")) / name
            kept.write_bytes(data)
            print(f"{name}: {type(error).__name__}: {str(error)[:300]}\n  kept in {kept}")
        count += 1
        longest = max(longest, time.monotonic() - started)
    print(f"{name}: {count:,} inputs, the longest {longest:.2f} s, {broken} broken")
    return broken


def led(name: str, seconds: float) -> int:
    """The same, led by what parts of the program an input reaches; atheris ends the process."""
    try:
        import atheris
    except ImportError:
        print('atheris is not installed: pip install ".[fuzz]"')
        return 2
    with tempfile.TemporaryDirectory(prefix="corpus-") as folder:
        for number, data in enumerate(corpus()):
            (Path(folder) / str(number)).write_bytes(data)
        atheris.instrument_all()
        atheris.Setup([sys.argv[0], folder, f"-max_total_time={seconds:.0f}"], TARGETS[name])
        atheris.Fuzz()
    return 0


if __name__ == "__main__":
    sys.exit(main())
