"""Random small vehicles, from notation to posterior, against a plain listing of every fault and every pair."""

from dataclasses import replace
from itertools import combinations
from random import Random

import numpy as np
import pytest

from circuitmap.diagnosis.faults.fault_kinds import ODDS_OF_NOTHING
from circuitmap.diagnosis.prepared import none_of_these, prepared_for
from circuitmap.diagnosis.seen.netting import netted
from circuitmap.diagnosis.seen.observing import currents_seen
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.diagnosis.weighing.weights import weighed
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from tests.diagnosis.test_against_listing import chance
from tests.diagnosis.test_laws import small_circuit

SOME, ALL = range(60), range(60, 400)


def compare(seed: int) -> bool:
    """Weigh and list; false for a vehicle on which nothing was weighed."""
    random = Random(seed)
    its = small_circuit(seed)
    ready = prepared_for(its, {}, Evidence())
    places = [fuse.name for fuse in its.platform.fuses if not fuse.empty]
    chosen = random.sample(places, min(len(places), random.randint(1, 3)))
    words = [f"{p}={random.choice(['0.00A', f'{random.uniform(0.01, 2):.2f}A', 'draws', 'quiet'])}" for p in chosen]
    readings = tuple(written_reading(its.platform, word, meter_named("series")) for word in words)
    nets = netted(readings, ready.tree, ready.routes)
    if any(len(segment.readings) > 1 for segment in nets.segments) or nets.loose or not nets.segments:
        return False
    faults = (*ready.faults, *none_of_these(nets, ready.tree, ready.parked))
    # The listing knows of no branch that was misread (`test_a_branch_that_was_misread.py`).
    sightings = [replace(its, slips={}) for its in currents_seen(nets, faults, ready.parked, ready.tree)]
    odds = np.array([fault.odds for fault in faults])
    ours = weighed(tables_of(sightings, len(faults)), odds, odds_of_nothing=ODDS_OF_NOTHING)
    touching = {n for sighting in sightings for n in sighting.brought}
    known: dict[tuple[int, ...], float] = {}

    def seen(faults_there: tuple[int, ...]) -> float:
        key = tuple(n for n in faults_there if n in touching)
        if key not in known:
            known[key] = float(np.prod([chance(sighting, key) for sighting in sightings]))
        return known[key]

    sets = [s for size in (0, 1, 2) for s in combinations(range(len(odds)), size)]
    weight = {s: float(np.prod(odds[list(s)])) * seen(s) for s in sets}
    something = sum(its_weight for s, its_weight in weight.items() if s)
    assert ours.something_wrong == pytest.approx(something / (something + weight[()]), rel=1e-5), seed
    each = np.zeros(len(odds))
    for s, its_weight in weight.items():
        each[list(s)] += its_weight
    # The chances of what flows are summed over a grid: good to a few parts in a hundred thousand.
    np.testing.assert_allclose(ours.given_something, each / something, rtol=5e-5, atol=1e-12, err_msg=str(seed))
    assert 1.0 - ours.two_faults == pytest.approx(sum(weight[n,] for n in range(len(odds))) / something, rel=1e-6)
    return True


def test_a_listing_of_all_faults_and_pairs_says_the_same() -> None:
    assert sum(compare(seed) for seed in SOME) > len(SOME) / 3


@pytest.mark.slow
def test_a_listing_says_the_same_on_hundreds_of_vehicles() -> None:
    assert sum(compare(seed) for seed in ALL) > len(ALL) / 3
