"""How long a diagnosis takes: warm, on a very large vehicle, against a dense evaluation of the same hypotheses; and
cold, on the truck, against what any program pays that imports the same libraries."""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from random import Random
from statistics import median

import numpy as np

from circuitmap.diagnosis.diagnose import posterior_and_next_test
from circuitmap.diagnosis.prepared import none_of_these, prepared_for
from circuitmap.diagnosis.seen.netting import netted
from circuitmap.diagnosis.seen.observing import currents_seen
from circuitmap.diagnosis.weighing.reading_chance import weigh
from circuitmap.diagnosis.weighing.sightings import CurrentSighting
from tests.benchmarks.diagnosis.asking import Car, Shape, vehicle_of
from tests.benchmarks.diagnosis.simulator import Meter, Truth, something_wrong

LARGE: Shape = (7, 400, 300, 10)
READINGS = 60
ROOT = Path(__file__).parents[3]
TRUCK = ROOT / "sample_vehicles" / "truck"


def timings(quick: bool) -> list[list[str]]:
    """Rows of the table: what, measured, goal."""
    random = Random(3)
    vehicle = vehicle_of(LARGE)
    wrong = something_wrong(vehicle, random, "keeps-awake")
    car = Car(LARGE, Truth(vehicle, (wrong,), random), Meter(random, "clamp", 0.01), True, random)
    car.note(car.read("BAT"))
    for fuse in random.sample([fuse.name for fuse in vehicle.fuses], READINGS - 1):
        car.note(car.read(fuse))
    posterior_and_next_test(car.circuit, car.evidence)
    warm = []
    for _ in range(20):
        start = time.perf_counter()
        posterior_and_next_test(car.circuit, car.evidence)
        warm.append(time.perf_counter() - start)
    ready = prepared_for(car.circuit, {}, car.evidence)
    faults = len(ready.faults)
    dense = dense_seconds(car, 0.1 if quick else 1.0)
    first, again, base = cold_seconds(5)
    return [
        ["faults weighed, singles and pairs", f"{faults:,} and {faults * (faults - 1) // 2:,}", ""],
        [f"posterior, next test, {READINGS} readings, warm (median of 20)", f"{1000 * median(warm):.0f} ms", "50 ms"],
        ["dense evaluation of the same", f"{1000 * dense:.0f} ms", ""],
        ["ratio", f"1/{dense / median(warm):.0f}", "1/8"],
        ["import networkx, numpy, in a fresh process", f"{1000 * base:.0f} ms", ""],
        ["suspects on the truck, so too, first run", f"{1000 * first:.0f} ms", ""],
        ["ratio", f"{first / base:.2f}", "2.0"],
        ["suspects on the truck, platform in the cache", f"{1000 * again:.0f} ms", ""],
        ["ratio", f"{again / base:.2f}", "1.6"],
    ]


def dense_seconds(car: Car, part: float) -> float:
    """Every pair of faults at every current reading, straight on: the moments of the union, then the chance. Of `part`
    of the rows, scaled up."""
    ready = prepared_for(car.circuit, {}, car.evidence)
    nets = netted(car.evidence.readings, ready.tree, ready.routes)
    faults = (*ready.faults, *none_of_these(nets, ready.tree, ready.parked))
    sightings = currents_seen(nets, faults, ready.parked, ready.tree)
    rows = max(1, int(part * len(faults)))
    start = time.perf_counter()
    for sighting in sightings:
        _dense(sighting, len(faults), rows)
    return (time.perf_counter() - start) / (rows / len(faults))


def _dense(sighting: CurrentSighting, faults: int, rows: int) -> None:
    keys = {key: n for n, key in enumerate({b.key for brought in sighting.brought.values() for b in brought})}
    marks, moments = np.zeros((faults, len(keys))), np.zeros((2, len(keys)))
    for fault, brought in sighting.brought.items():
        for current in brought:
            marks[fault, keys[current.key]] = 1.0
            moments[:, keys[current.key]] = current.mean, current.variance
    own = moments @ marks.T
    for first in range(0, rows, 64):
        some = slice(first, min(first + 64, rows))
        shared = [(marks[some] * m) @ marks.T for m in moments]
        mean = own[0, some, None] + own[0] - shared[0] + sighting.healthy_mean
        variance = own[1, some, None] + own[1] - shared[1] + sighting.healthy_variance
        weigh(sighting.strip, mean.reshape(-1), variance.reshape(-1), sighting.misread)


def cold_seconds(times: int) -> tuple[float, float, float]:
    """Medians of fresh processes, taking turns: ours with an empty cache, ours with a filled one, theirs.

    All run from compiled code, as installed programs do: the first round, which does not count, compiles it into a
    folder of its own. A checkout may have none, or that of an older text."""
    ours_words = ["-m", "circuitmap", "suspects", str(TRUCK), "BAT=0.47A", "F6=0.6mV", "F11=0.3mV", "F19=0.7mV",
                  "F24=0.5mV", "F33=0.7mV", "F40=0.0mV", "F41=0.0mV", "--network", "CHASSIS=2.5V"]  # fmt: skip
    first, again, theirs = [], [], []
    with tempfile.TemporaryDirectory() as room:
        for number in range(times + 1):
            for words, cache, taken in (
                (ours_words, f"{room}/{number}", first),
                (ours_words, f"{room}/filled", again),
                (["-c", "import networkx, numpy"], "", theirs),
            ):
                environment = {name: its for name, its in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
                environment |= {"PYTHONPYCACHEPREFIX": f"{room}/compiled", "PYTHONPATH": str(ROOT)}
                environment["CIRCUITMAP_CACHE"] = cache
                start = time.perf_counter()
                subprocess.run([sys.executable, *words], env=environment, check=True, capture_output=True)
                taken.append(time.perf_counter() - start)
    return median(first[1:]), median(again[1:]), median(theirs[1:])
