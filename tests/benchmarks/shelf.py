"""How long a shop's shelf of 1,000 platforms takes to list and to search: `python -m tests.benchmarks.shelf`.

The peer, measured in the same run, is a plain walk over the same folders that reads every file and looks for the
word in the text. The first listing reads every platform; later ones read only what changed.
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
NAMES = ("motorcycle", "van")


def lay_out(shop: Path, platforms: int) -> None:
    """Copies of two sample vehicles, each with a name of its own."""
    for number in range(platforms):
        folder = shop / f"maker{number % 40}" / f"platform{number}"
        folder.mkdir(parents=True)
        for file in (SAMPLES / NAMES[number % 5 == 0]).glob("*.circuit"):
            text = file.read_text("utf-8")
            (folder / file.name).write_text(text.replace('platform "', f'platform "No. {number} '), "utf-8")


def plain_search(shop: Path, word: str) -> int:
    """What a person does without: open every file and look for the word."""
    return sum(word in file.read_text("utf-8") for file in shop.rglob("*.circuit"))


def timed_command(shop: Path, cache: Path, *words: str) -> float:
    environment = {**os.environ, "CIRCUITMAP_CACHE": str(cache)}
    begun = time.perf_counter()
    command = [sys.executable, "-m", "circuitmap", "library", str(shop), *words]
    subprocess.run(command, check=True, capture_output=True, env=environment)
    return time.perf_counter() - begun


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--platforms", type=int, default=1000)
    room = Path(tempfile.mkdtemp())
    try:
        platforms = parser.parse_args().platforms
        shop, cache = room / "shop", room / "cache"
        lay_out(shop, platforms)
        first = timed_command(shop, cache)
        again = min(timed_command(shop, cache) for _ in range(3))
        found = min(timed_command(shop, cache, "--find", "REAR.K2") for _ in range(3))
        begun = time.perf_counter()
        hits = plain_search(shop, "REAR.K2")
        plain = time.perf_counter() - begun
        print(f"{platforms} platforms, {hits} files with the word; a plain walk that reads every file {plain:.2f} s")
        print(f"first listing, everything read  {first:7.2f} s")
        print(f"listing again                   {again:7.2f} s  {again / plain:5.2f} of the plain walk")
        print(f"finding a part                  {found:7.2f} s  {found / plain:5.2f} of the plain walk")
    finally:
        shutil.rmtree(room)


if __name__ == "__main__":
    main()
