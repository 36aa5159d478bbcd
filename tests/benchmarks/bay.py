"""What the bay page costs: the start, one tap, and twenty phones. `python -m tests.benchmarks.bay`

Processor time, because wall time says more of what else runs on the machine; that of a tap also as a ratio to what
every program must pay that uses numpy and networkx, measured in the same run.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from shutil import copytree
from statistics import median

from circuitmap.cli.main import add_up_in_one_thread, collect_seldom

add_up_in_one_thread()
collect_seldom()  # as the program does

from circuitmap.flows.desk import Desk  # noqa: E402
from circuitmap.flows.sent import Sent  # noqa: E402
from tests.bay.handset import Handset  # noqa: E402
from tests.bay.served import ROOT, Served, served  # noqa: E402

PHONES = 20
PAUSE_SECONDS = 10.0
QUIET = ("F1", "F2", "F7", "F8", "F12", "F13", "F14", "F15", "F16", "F17", "F18", "F20", "F21", "F23", "F25", "F26")
"""Fuses of the truck that show nothing."""
PEER = "import time, networkx, numpy; print(time.process_time())"


@contextmanager
def truck() -> Iterator[Path]:
    """A card of the truck on which the fuses were read, and nothing was taken out yet."""
    with tempfile.TemporaryDirectory() as room:
        copytree(ROOT / "sample_vehicles" / "truck", Path(room) / "truck")
        card = Path(room) / "truck" / "jobs" / "0412.yaml"
        text = card.read_text("utf-8")
        card.write_text(text[: text.rindex("\n  - ", 0, text.index("out:"))] + "\n", "utf-8")
        yield card


def seconds_of(server: Served) -> float:
    """Processor time of the server so far (Linux)."""
    told = Path(f"/proc/{server.process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")


def megabytes_of(server: Served) -> float:
    """Its memory, shared pages counted in part (Linux)."""
    told = Path(f"/proc/{server.process.pid}/smaps_rollup").read_text()
    return next(int(line.split()[1]) for line in told.splitlines() if line.startswith("Pss:")) / 1024.0


def start() -> None:
    taken = []
    with truck() as card:
        for _ in range(5):
            with served(card) as server:
                taken.append(seconds_of(server))
    print(f"start, until a code is shown      {median(taken):.2f} s of the processor (goal 0.80)")


def tap() -> None:
    """From an entry that arrives to the whole answer, on a desk that is open."""
    with truck() as card:
        desk, now = Desk(card), datetime.now()
        [key] = desk.cards()
        desk.answer(key)
        taken, peers = [], []
        for n, fuse in enumerate(QUIET):
            began = time.process_time()
            desk.add(key, "Ida", [Sent(f"device{n:08d}", f"{fuse}=0.0mV", 0)], 0, now + timedelta(seconds=n))
            desk.answer(key)
            taken.append(time.process_time() - began)
            if n % 3 == 0:
                done = subprocess.run([sys.executable, "-c", PEER], capture_output=True, text=True, check=True)
                peers.append(float(done.stdout))
    ours, theirs = median(taken[1:]), median(peers)
    print(f"tap to answer                     {1000 * ours:.0f} ms of the processor (goal 90), {ours / theirs:.2f} of "
          f"`import networkx, numpy` ({1000 * theirs:.0f} ms)")  # fmt: skip


def phones(seconds: float, pause: float) -> None:
    """Twenty phones, each with an entry every so often: how long until it is on the card."""
    with truck() as card, served(card) as server:
        its = [Handset(server, f"phone {n}") for n in range(PHONES)]
        for phone in its:
            phone.pair()
            phone.listen()
        for phone in its:
            assert phone.came.wait(60)
        began, cpu = time.monotonic(), seconds_of(server)

        def write(n: int) -> list[float]:
            took = []
            for turn in range(max(1, int(seconds / pause)) if pause else 10):
                time.sleep(max(0.0, began + (turn + n / PHONES) * pause - time.monotonic()))
                sent = time.monotonic()
                line = f"{QUIET[(n + turn) % len(QUIET)]}=0.0mV"
                assert its[n].send([(f"phone{n:02d}turn{turn:06d}", line)]) == ["kept"]
                took.append(time.monotonic() - sent)
            return took

        with ThreadPoolExecutor(PHONES) as pool:
            took = sorted(one for each in pool.map(write, range(PHONES)) for one in each)
        whole = time.monotonic() - began
        newest = its[0].job()["revision"]
        while its[-1].latest["revision"] != newest:
            time.sleep(0.05)
        name = f"{PHONES} phones, an entry each {pause:.0f} s" if pause else f"{PHONES} phones without a pause"
        goal = " (goal 150)" if pause else ""
        print(f"{name:34}on the card after {1000 * took[len(took) // 2]:.0f} ms, p95 "
              f"{1000 * took[int(0.95 * len(took))]:.0f} ms{goal}; {len(took)} entries, {len(its[0].revisions)} answers, "
              f"{seconds_of(server) - cpu:.1f} s of the processor in {whole:.0f} s, {megabytes_of(server):.0f} MB (goal 80)"
              )  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60.0, help="how long the twenty phones write")
    asked = parser.parse_args()
    start()
    tap()
    phones(asked.seconds, PAUSE_SECONDS)
    phones(asked.seconds, 0.0)


if __name__ == "__main__":
    main()
