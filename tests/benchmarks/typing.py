"""How soon somebody who types sees what is wrong and what it looks like: `python -m tests.benchmarks.typing`.

On copies of the largest sample. Seconds are of this machine, now; the ratio is to reading the whole folder from scratch,
measured in the same run, which a busy machine slows down as much.
"""

import asyncio
import statistics
import tempfile
import time
from pathlib import Path
from shutil import copytree

from circuitmap.flows.platforms_there import PlatformsThere
from circuitmap.flows.questions import check
from circuitmap.flows.typing_desk import TypingDesk
from tests.editor.talking import Talk, talked

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
SHEET, ROUNDS = "61-01", 40


def _told(name: str, seconds: list[float], scratch: float) -> None:
    ordered = sorted(seconds)
    median, late = statistics.median(ordered), ordered[int(len(ordered) * 0.95)]
    print(
        f"{name:46} median {median * 1000:5.0f} ms, p95 {late * 1000:5.0f} ms, {median / scratch:.2f} of a whole reading"
    )


def page(shop: Path, scratch: float) -> None:
    """From a change of the text to its problems, and on to its drawing, without the network."""
    desk = TypingDesk(PlatformsThere(shop))
    key = desk.platforms.listed()[0].key
    piece = next(its["key"] for its in desk.pieces(key)["pieces"] if its["sheet"] == SHEET)
    text = desk.piece(key, piece)["text"]
    desk.drawing(desk.tried(key, piece, text)["revision"])
    problems, drawings = [], []
    for number in range(ROUNDS):
        begun = time.perf_counter()
        tried = desk.tried(key, piece, f"{text}F6 -> NEW{number} in RD 1\n")
        told = time.perf_counter()
        desk.drawing(tried["revision"])
        problems.append(told - begun)
        drawings.append(time.perf_counter() - begun)
    desk.pictures.close()
    _told("typing page, change to problems", problems, scratch)
    _told("typing page, change to drawing", drawings, scratch)


def editor(folder: Path, scratch: float) -> None:
    """From a key to its problems, over the protocol of editors, with the pause that waits for more keys."""
    name = next(path.name for path in sorted(folder.glob("*.circuit")) if f'sheet "{SHEET}"' in path.read_text("utf-8"))

    async def talk(its: Talk) -> list[float]:
        text = (folder / name).read_text("utf-8")
        its.open(name)
        await its.problems_of(name)
        seconds = []
        for number in range(ROUNDS):
            begun = time.perf_counter()
            its.change(name, f"{text}F6 -> NEW{number} in RD 1\n")
            while not any(f"NEW{number} " in one.message for one in its.problems[name]):
                await its.problems_of(name)
            seconds.append(time.perf_counter() - begun)
            await asyncio.sleep(0.05)
        return seconds

    _told("editor, key to problems", talked(folder, talk), scratch)


def main() -> None:
    with tempfile.TemporaryDirectory() as room:
        folder = Path(copytree(SAMPLES / "truck", Path(room) / "truck"))
        whole = []
        for number in range(5):
            with open(next(iter(sorted(folder.glob("*.circuit")))), "a", encoding="utf-8") as file:
                file.write(f"# {number}\n")  # so that it is not remembered
            begun = time.perf_counter()
            check(folder)
            whole.append(time.perf_counter() - begun)
        scratch = statistics.median(whole)
        print(f"{'reading the whole folder from scratch':46} median {scratch * 1000:5.0f} ms")
        page(Path(room), scratch)
        editor(folder, scratch)


if __name__ == "__main__":
    main()
