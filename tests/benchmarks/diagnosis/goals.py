"""The goals of the page, each with what was measured: over all rows together, and in the row that is worst."""

from collections.abc import Callable, Mapping, Sequence
from random import Random
from statistics import mean
from typing import Protocol


class _Bound(Protocol):
    first: int
    in_three: int
    subject: int
    log_score: list[float]
    pair_in_three: int


class _Score(Protocol):
    visible: int
    first: int
    in_three: int
    subject: int
    pair_in_three: int
    log_score: list[float]
    claims: list[bool]

    @property
    def bound(self) -> _Bound: ...


class _Minutes(Protocol):
    advice: list[float]
    pulling: list[float]
    advice_all_read: list[float]
    unplugging: list[float]
    again: int


DRAWN_ANEW = 2000
LEAST_CLAIMS = 10
"""A row with fewer claims says nothing of their share that is true."""


def goals_met(
    single: Mapping[str, _Score],
    two: Mapping[str, _Score],
    minutes: Mapping[str, _Minutes],
    kinds: Mapping[str, _Minutes],
) -> list[list[str]]:
    """Rows of the table: goal, all rows together, the worst row, whether all together meet it. The first of the
    `minutes` are with wires, the second with the fuse chart alone."""
    found = [
        _gap("true class first: at least the bound less 8 points", single, -8.0, lambda s: (s.first, s.bound.first)),
        _gap("in the first three: less 3", single, -3.0, lambda s: (s.in_three, s.bound.in_three)),
        _gap("first line right: less 4", single, -4.0, lambda s: (s.subject, s.bound.subject)),
        _gap("two faults, pair of subjects: less 12", two, -12.0, lambda s: (s.pair_in_three, s.bound.pair_in_three)),
    ]
    bits = {name: mean(s.log_score) - mean(s.bound.log_score) for name, s in single.items()}
    every = [n for s in single.values() for n in s.log_score], [n for s in single.values() for n in s.bound.log_score]
    gap, worst = mean(every[0]) - mean(every[1]), min(bits, key=lambda name: bits[name])
    found.append(["log score: less .4 bit", f"{gap:+.2f}", f"{worst}: {bits[worst]:+.2f}", _met(gap >= -0.4)])
    true = {n: mean(s.claims) for n, s in {**single, **two}.items() if len(s.claims) >= LEAST_CLAIMS}
    if true:
        worst = min(true, key=lambda name: true[name])
        in_all = mean([claim for s in (*single.values(), *two.values()) for claim in s.claims])
        its = {**single, **two}[worst].claims
        of = f"{sum(its)} of {len(its)}"
        told = [_percent(in_all), f"{worst}: {_percent(true[worst])}, {of}", _met(true[worst] >= 0.95)]
        found.append(["95 % claims true: 95 % in every row", *told])
    with_wires, chart = list(minutes.values())[:2]
    found += [
        _ratio("minutes from the total alone: .28 of pulling in order", with_wires.advice, with_wires.pulling, 0.28),
        _ratio("all read: .40 of unplugging by reach", with_wires.advice_all_read, with_wires.unplugging, 0.40),
        _ratio("the chart alone: 1.25 of the minutes with wires", chart.advice, with_wires.advice, 1.25),
    ]
    for what, ours, habit in (
        ("from the total alone", lambda m: m.advice, lambda m: m.pulling),
        ("all read", lambda m: m.advice_all_read, lambda m: m.unplugging),
    ):
        its = {name: mean(ours(m)) / mean(habit(m)) for name, m in kinds.items()}
        worst = max(its, key=lambda name: its[name])
        goal = f"every kind of fault, {what}: less than the habit"
        found.append([goal, f"{mean(its.values()):.2f}", f"{worst}: {its[worst]:.2f}", _met(its[worst] < 1.0)])
    again = sum(m.again for m in (*minutes.values(), *kinds.values()))
    found.append(["no step again", str(again), "", _met(again == 0)])
    return found


def _gap(goal: str, rows: Mapping[str, _Score], least: float, counts: Callable[[_Score], tuple[int, int]]) -> list[str]:
    gaps, right, bound, whole = {}, 0, 0, 0
    for name, score in rows.items():
        if score.visible:
            ours, its = counts(score)
            gaps[name] = 100.0 * (ours - its) / score.visible
            right, bound, whole = right + ours, bound + its, whole + score.visible
    gap, worst = 100.0 * (right - bound) / whole, min(gaps, key=lambda name: gaps[name])
    return [goal, f"{gap:+.0f}", f"{worst}: {gaps[worst]:+.0f}", _met(gap >= least)]


def _ratio(goal: str, ours: list[float], theirs: list[float], most: float) -> list[str]:
    ratio, (low, high) = mean(ours) / mean(theirs), ratio_is_within(ours, theirs)
    return [goal, f"{ratio:.2f} ({low:.2f} to {high:.2f})", "", _met(ratio <= most)]


def ratio_is_within(ours: Sequence[float], theirs: Sequence[float]) -> tuple[float, float]:
    """Between what the ratio of two means lies in nine of ten sets of as many vehicles, drawn anew out of these with
    replacement (the bootstrap; B. Efron, Annals of Statistics 7, 1979, 1-26)."""
    random, pairs = Random(1), list(zip(ours, theirs, strict=False))
    found = []
    for _ in range(DRAWN_ANEW):
        drawn = random.choices(pairs, k=len(pairs))
        found.append(mean(a for a, _ in drawn) / mean(b for _, b in drawn))
    found.sort()
    return found[DRAWN_ANEW // 20], found[-DRAWN_ANEW // 20]


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"


def _met(is_met: bool) -> str:
    return "met" if is_met else "missed"
