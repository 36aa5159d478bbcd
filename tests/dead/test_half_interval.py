"""The test to do first, against values that follow from theory and against all trees."""

import math
import random
from functools import cache

import pytest

from circuitmap.dead.half_interval import Splitting, first_test


def on_a_row(odds: list[float], minutes: list[float]) -> float:
    tests = [Splitting(its, tuple(int(n > k) for n in range(len(odds)))) for k, its in enumerate(minutes)]
    return first_test(odds, tests).minutes


@pytest.mark.parametrize(("places", "probes"), [(2, 1), (4, 2), (8, 3), (16, 4)])
def test_halving(places: int, probes: int) -> None:
    """Equal odds, equal minutes: log2 of the places (the classic half-split result)."""
    assert on_a_row([1 / places] * places, [1.0] * (places - 1)) == pytest.approx(probes)


def test_a_row_of_seven_links() -> None:
    """All trees give 8.10 minutes at the least."""
    assert on_a_row([0.30, 0.05, 0.20, 0.05, 0.10, 0.05, 0.25], [1, 1, 5, 5, 12, 3]) == pytest.approx(8.10)


def all_trees(odds: list[float], tests: list[Splitting]) -> float:
    @cache
    def best(left: frozenset[int]) -> float:
        here = sum(odds[n] for n in left)
        found = math.inf
        for its in tests:
            parts: dict[int, set[int]] = {}
            for n in left:
                parts.setdefault(its.outcomes[n], set()).add(n)
            if len(parts) > 1:
                found = min(found, its.minutes * here + sum(best(frozenset(part)) for part in parts.values()))
        return 0.0 if math.isinf(found) else found

    return best(frozenset(range(len(odds)))) / sum(odds)


def random_case(seed: int, count: int) -> tuple[list[float], list[Splitting]]:
    drawn = random.Random(seed)
    odds = [drawn.random() for _ in range(count)]
    tests = [
        Splitting(drawn.uniform(1, 15), tuple(drawn.randrange(3) for _ in range(count))) for _ in range(drawn.randint(3, 8))
    ]  # fmt: skip
    return [its / sum(odds) for its in odds], tests


@pytest.mark.parametrize("seed", range(20))
def test_exact_over_subsets(seed: int) -> None:
    odds, tests = random_case(seed, 6)
    assert first_test(odds, tests).minutes == pytest.approx(all_trees(odds, tests))


def over_the_optimum(cases: int) -> list[float]:
    """Rows of thirteen and fourteen with one more test, so that neither way to be exact applies."""
    ratios = []
    for seed in range(cases):
        drawn = random.Random(seed)
        count = drawn.choice((13, 14))
        odds = [drawn.random() ** 2 for _ in range(count)]
        odds = [its / sum(odds) for its in odds]
        minutes = [drawn.uniform(1, 15) for _ in range(count - 1)]
        tests = [Splitting(m, tuple(int(n > k) for n in range(count))) for k, m in enumerate(minutes)]
        exact = first_test(odds, tests).minutes
        ratios.append(asked_again_and_again(odds, [*tests, Splitting(1e6, tuple(n % 3 for n in range(count)))]) / exact)
    return ratios


def asked_again_and_again(odds: list[float], tests: list[Splitting]) -> float:
    """The minutes of whoever asks anew after each test, while there are too many candidates for an exact answer."""
    its = first_test(odds, tests)
    assert its.first is not None
    if its.how != "rolled out":
        return its.minutes * sum(odds)
    minutes = tests[its.first].minutes * sum(odds)
    parts: dict[int, list[int]] = {}
    for n, outcome in enumerate(tests[its.first].outcomes):
        parts.setdefault(outcome, []).append(n)
    for part in parts.values():
        if len(part) > 1:
            left = [Splitting(test.minutes, tuple(test.outcomes[n] for n in part)) for test in tests]
            minutes += asked_again_and_again([odds[n] for n in part], left)
    return minutes


def test_rolled_out_is_next_to_exact() -> None:
    ratios = over_the_optimum(12)
    assert sum(ratios) / len(ratios) <= 1.02 and max(ratios) <= 1.3


@pytest.mark.on_demand
@pytest.mark.slow
def test_rolled_out_on_many_rows() -> None:
    ratios = over_the_optimum(400)
    assert sum(ratios) / len(ratios) <= 1.02 and max(ratios) <= 1.3


def test_where_nothing_tells_anything_there_is_no_step() -> None:
    assert first_test([0.5, 0.5], [Splitting(1.0, (0, 0))]).first is None
    assert first_test([1.0], [Splitting(1.0, (0,))]).how == "nothing"
