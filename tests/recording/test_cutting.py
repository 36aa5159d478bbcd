"""Cuts: exact on short rows, next to exact on nights, none where nothing happens; figures worked out by hand."""

from itertools import combinations, pairwise
from math import log, sqrt

import numpy as np
import pytest
from numpy.typing import NDArray

from circuitmap.recording.cutting import Sums, best_cuts, cuts_of, price_of
from circuitmap.recording.levels import levels_of
from circuitmap.recording.noise import display_step, noise_of, smallest_shown
from tests.work_done import steps_of

NILE = [
    1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140,
    1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969,
    831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759,
    781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890,
    744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
]  # fmt: skip
"""Yearly flow of the Nile at Aswan, 1871 to 1970, 10^8 m3: Cobb 1978, in many textbooks (memory)."""


def cost(row: NDArray[np.float64], cuts: tuple[int, ...] | list[int], price: float) -> float:
    edges = [0, *cuts, row.size]
    pieces = [row[a:b] for a, b in pairwise(edges)]
    return sum(float(((piece - piece.mean()) ** 2).sum()) for piece in pieces) + price * len(cuts)


def all_ways(row: NDArray[np.float64], price: float) -> float:
    """The least cost of all ways to cut the row, one by one."""
    piece = [[cost(row[a:b], [], 0.0) if b > a else 0.0 for b in range(row.size + 1)] for a in range(row.size)]
    least = float("inf")
    for count in range(row.size):
        for cuts in combinations(range(1, row.size), count):
            edges = (0, *cuts, row.size)
            least = min(least, sum(piece[a][b] for a, b in pairwise(edges)) + price * count)
    return least


def exact(row: NDArray[np.float64], price: float) -> list[int]:
    return best_cuts(Sums(row), np.arange(1, row.size, dtype=np.int64), price)


def test_short_rows_against_all_ways_to_cut_them() -> None:
    random = np.random.RandomState(15)
    for turn in range(600):
        row = random.normal(0, 1, random.randint(2, 12)) + 3 * random.randint(0, 3, 1)
        if turn % 3 == 0:
            row = np.round(row)
        price = float(random.choice([0.1, 0.5, 2.0, 8.0]))
        least = all_ways(row, price)
        assert cost(row, exact(row, price), price) == pytest.approx(least, abs=1e-9)
        assert cost(row, cuts_of(Sums(row), 1.0, price), price) == pytest.approx(least, abs=1e-9)


@pytest.mark.parametrize(
    ("row", "price", "cuts", "total"),
    [
        ("30 31 29 30 480 482 478 480 30 29 31 30", 100, [4, 8], 212),
        ("30 31 29 30 480 482 478 480 30 29 31 30", 100_000, [4, 8], 200_012),
        ("30 31 29 30 480 482 478 480 30 29 31 30", 400_000, [], 540_012),
        ("5 5 5 5 9 9 2 2 2 7", 0.5, [4, 6, 9], 1.5),
        ("5 5 5 5 9 9 2 2 2 7", 5, [4, 6, 9], 15),
        ("5 5 5 5 9 9 2 2 2 7", 20, [4, 6], 58.75),
        ("5 5 5 5 9 9 2 2 2 7", 60, [], 62.9),
    ],
)
def test_worked_out_by_hand(row: str, price: float, cuts: list[int], total: float) -> None:
    values = np.array([float(word) for word in row.split()])
    assert exact(values, price) == cuts
    assert cost(values, cuts, price) == pytest.approx(total)


def test_the_nile_falls_once_in_1899() -> None:
    row = np.array(NILE, dtype=np.float64)
    noise = noise_of(row)
    assert exact(row, price_of(noise, row.size)) == cuts_of(Sums(row), noise, price_of(noise, row.size)) == [28]


@pytest.mark.parametrize(("samples", "shown"), [(1, 26.97), (10, 8.53), (60, 3.48), (600, 1.10)])
def test_the_smallest_thing_shown(samples: int, shown: float) -> None:
    assert smallest_shown(4.0, 86_400, samples) == pytest.approx(shown, abs=0.005)


def correlated(random: np.random.RandomState, size: int, sigma: float, kept: float) -> NDArray[np.float64]:
    noise = random.normal(0, sigma * sqrt(1 - kept * kept), size)
    for at in range(1, size):
        noise[at] += kept * noise[at - 1]
    return noise


@pytest.mark.parametrize("kept", [0.0, 0.5, 0.8, 0.95])
def test_noise_as_it_counts_for_a_long_level(kept: float) -> None:
    random = np.random.RandomState(3)
    long_run = 0.004 * sqrt((1 + kept) / (1 - kept))
    for _ in range(5):
        assert 0.8 * long_run < noise_of(correlated(random, 40_000, 0.004, kept)) < 1.45 * long_run


def test_events_are_no_noise() -> None:
    """A heater on for a third of the time makes the log scatter by amperes, and its noise is a few milliamperes."""
    random = np.random.RandomState(4)
    row = random.normal(0, 0.004, 43_200)
    row[np.arange(row.size) % 1200 < 400] += 5.0
    assert noise_of(row) == pytest.approx(0.004, rel=0.5)


def test_a_display_step_is_noise() -> None:
    row = np.round(np.full(5000, 0.033), 2)
    row[100] += 0.01
    assert display_step(row) == pytest.approx(0.01) and noise_of(row) == pytest.approx(0.01 / sqrt(12))


def test_twenty_nights_next_to_the_exact_optimum() -> None:
    """The fast way looks at few places only; what that costs is measured against the exact optimum over all places."""
    random = np.random.RandomState(1871)
    for _ in range(20):
        row = 0.03 + correlated(random, 2500, 0.004, 0.5)
        for at in random.randint(100, 2300, 6):
            row[at : at + random.randint(20, 180)] += random.uniform(0.05, 1.0)
        noise = noise_of(row)
        price = price_of(noise, row.size)
        best = cost(row, exact(row, price), price)
        assert cost(row, cuts_of(Sums(row), noise, price), price) <= best * 1.001


def test_twenty_quiet_days_have_no_step() -> None:
    random = np.random.RandomState(20)
    for _ in range(20):
        row = 0.03 + correlated(random, 86_400, 0.004, 0.8)
        noise = noise_of(row)
        assert cuts_of(Sums(row), noise, price_of(noise, row.size)) == []


def test_all_samples_alike() -> None:
    row = np.full(1000, 0.03)
    assert noise_of(row) == 0.0 and display_step(row) == 0.0
    assert cuts_of(Sums(row), 1e-9, price_of(1e-9, row.size)) == []
    assert price_of(2.0, 1000) == pytest.approx(8 * log(1000))


def test_twice_the_log_is_twice_the_work() -> None:
    """Counted, not timed: lines of Python, and how many last cuts are compared with each other."""
    random = np.random.RandomState(2)
    night = 0.03 + random.normal(0, 0.004, 20_000)
    for at in range(500, 20_000, 1000):
        night[at : at + 95] += 0.46
    rows = [np.tile(night, times) for times in (1, 2, 4)]

    def work(row: np.ndarray[tuple[int], np.dtype[np.float64]]) -> int:
        noise = noise_of(row)
        return steps_of(lambda: levels_of(row, cuts_of(Sums(row), noise, price_of(noise, row.size)), noise))

    one, two, four = (work(row) for row in rows)
    assert two < 3 * one and four < 6 * one, (one, two, four)  # how often cuts are moved differs from row to row
    compared = [_compared(row) for row in rows]
    assert compared[2] < 8 * compared[0], compared  # the square would be 16


def _compared(row: np.ndarray[tuple[int], np.dtype[np.float64]]) -> int:
    """How many costs are worked out to find the best cuts: what numpy does in one line grows, too."""
    sums, noise = Sums(row), noise_of(row)
    seen: list[int] = []
    real = np.argmin
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(np, "argmin", lambda costs: (seen.append(costs.size), real(costs))[1])
        cuts_of(sums, noise, price_of(noise, row.size))
    return sum(seen)
