"""Six modules, four of them on one network: the part to mend need not be on a fuse that draws.

Our own worked case; the digits were computed once by listing every set of at most two faults by hand-written
code that shares nothing with the package, and the listing is repeated below.

N1..N6 hang alone on fuses F1..F6. N1, N2, N3 and N5 are on network X. A module may leak (odds .001) or, if it is
a member, keep X awake (odds .00025). A fuse with an active module shows high with chance .95, a quiet one .02.
F1, F2, F3 show high, F4 low, F5 and F6 were not read.
"""

from itertools import combinations
from math import prod

import numpy as np
import pytest

from circuitmap.diagnosis.weighing.decibans import NATS_TO_DECIBANS
from circuitmap.diagnosis.weighing.information import entropy, expected_bits, group_numbers
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.diagnosis.weighing.weights import Weighing, weighed

MEMBERS = (1, 2, 3, 5)
FAULTS = [("leak", n) for n in range(1, 7)] + [("keep", n) for n in MEMBERS]
ODDS = np.array([1e-3 if kind == "leak" else 2.5e-4 for kind, _ in FAULTS])
SHOWN = {1: "high", 2: "high", 3: "high", 4: "low"}


def active(faults: tuple[tuple[str, int], ...]) -> set[int]:
    awake = set(MEMBERS) if any(kind == "keep" for kind, _ in faults) else set()
    return awake | {n for kind, n in faults if kind == "leak"}


def fuse_sighting(number: int, shown: str) -> StateSighting:
    touched = {f: 0 for f, fault in enumerate(FAULTS) if number in active((fault,))}
    high = shown == "high"
    return StateSighting(f"F{number}", 0.02 if high else 0.98, (0.95 if high else 0.05,), touched)


@pytest.fixture(scope="module")
def weighing() -> Weighing:
    tables = tables_of([fuse_sighting(n, shown) for n, shown in SHOWN.items()], len(FAULTS))
    return weighed(tables, ODDS, odds_of_nothing=1.0)


def listed() -> dict[tuple[int, ...], float]:
    """Every set of one or two faults with its weight, the long way."""
    sets = [s for size in (1, 2) for s in combinations(range(len(FAULTS)), size)]
    weight = {}
    for s in sets:
        on = active(tuple(FAULTS[f] for f in s))
        chance = prod(
            (0.95 if n in on else 0.02) if shown == "high" else (0.05 if n in on else 0.98)
            for n, shown in SHOWN.items()
        )
        weight[s] = prod(ODDS[f] for f in s) * chance
    total = sum(weight.values())
    return {s: w / total for s, w in weight.items()}


def fault(kind: str, n: int) -> int:
    return FAULTS.index((kind, n))


def test_the_network_explains_it(weighing: Weighing) -> None:
    keeps = [fault("keep", n) for n in MEMBERS]
    assert weighing.any_of(keeps) == pytest.approx(0.998595, abs=5e-7)


def test_all_four_members_tie_although_one_is_on_no_drawing_fuse(weighing: Weighing) -> None:
    for n in MEMBERS:
        alone = weighing.singles[fault("keep", n)] / weighing.something
        assert alone == pytest.approx(0.248301, abs=5e-7)


def test_a_leak_behind_the_first_drawing_fuse_is_out_of_the_question(weighing: Weighing) -> None:
    alone = weighing.singles[fault("leak", 1)] / weighing.something
    assert alone == pytest.approx(0.000440, abs=5e-7)


def test_a_part_counts_in_pairs_too(weighing: Weighing) -> None:
    listing = listed()
    for f in range(len(FAULTS)):
        expected = sum(weight for faults, weight in listing.items() if f in faults)
        assert weighing.given_something[f] == pytest.approx(expected, rel=1e-12)
    for n in MEMBERS:
        both = [fault("leak", n), fault("keep", n)]
        expected = sum(weight for faults, weight in listing.items() if set(both) & set(faults))
        assert weighing.any_of(both) == pytest.approx(expected, rel=1e-12)


def test_one_fault_or_two(weighing: Weighing) -> None:
    assert 1.0 - weighing.two_faults == pytest.approx(0.994545, abs=5e-7)
    assert weighing.two_faults == pytest.approx(0.005455, abs=5e-7)


def test_every_explanation_has_the_weight_of_the_plain_listing(weighing: Weighing) -> None:
    for faults, expected in listed().items():
        weight = weighing.singles[faults[0]] if len(faults) == 1 else weighing.pair(*faults)
        assert weight / weighing.something == pytest.approx(expected, rel=1e-12)


def test_what_each_reading_says_for_the_network_against_a_leak(weighing: Weighing) -> None:
    x, leak = fault("keep", 1), fault("leak", 1)
    said = [
        NATS_TO_DECIBANS * (t.log_chance[t.columns[x], 0] - t.log_chance[t.columns[leak], 0]) for t in weighing.tables
    ]
    assert [round(float(dB), 2) for dB in said] == [0.00, 16.77, 16.77, 0.00]


def weighed_sets(weighing: Weighing) -> tuple[np.ndarray, list[tuple[int, ...]]]:
    sets = [s for size in (1, 2) for s in combinations(range(len(FAULTS)), size)]
    return np.array([weighing.singles[s[0]] if len(s) == 1 else weighing.pair(*s) for s in sets]), sets


def still_active_without(sets: list[tuple[int, ...]], pulled: set[int]) -> np.ndarray:
    """Noiseless: is any module still active with these fuses out? A module without its fuse does nothing."""
    answer = []
    for s in sets:
        left = tuple(FAULTS[f] for f in s if FAULTS[f][1] not in pulled)
        answer.append([1.0, 0.0] if active(left) - pulled else [0.0, 1.0])
    return np.array(answer)


def test_how_much_is_open(weighing: Weighing) -> None:
    weights, sets = weighed_sets(weighing)
    assert float(entropy(weights)) == pytest.approx(2.0778, abs=5e-5)
    parts, count = group_numbers([frozenset(FAULTS[f][1] for f in s) for s in sets])
    assert float(entropy(np.bincount(parts, weights, count))) == pytest.approx(2.0472, abs=5e-5)


@pytest.mark.parametrize(("pulled", "bits"), [({1}, 0.8097), ({5}, 0.8090), ({1, 2}, 1.0000), ({1, 2, 3}, 0.8133)])
def test_what_pulling_fuses_tells(weighing: Weighing, pulled: set[int], bits: float) -> None:
    weights, sets = weighed_sets(weighing)
    assert float(expected_bits(weights, sets, still_active_without(sets, pulled))) == pytest.approx(bits, abs=5e-5)


def test_another_fuse_tells_next_to_nothing(weighing: Weighing) -> None:
    weights, sets = weighed_sets(weighing)
    on = [5 in active(tuple(FAULTS[f] for f in s)) for s in sets]
    chances = np.array([[0.95, 0.05] if is_on else [0.02, 0.98] for is_on in on])
    assert float(expected_bits(weights, sets, chances)) == pytest.approx(0.0057, abs=5e-5)
    parts = [frozenset(FAULTS[f][1] for f in s) for s in sets]
    assert float(expected_bits(weights, parts, chances)) == pytest.approx(0.0001, abs=5e-5)
