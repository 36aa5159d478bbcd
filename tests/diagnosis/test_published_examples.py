"""Worked examples from the literature on finding faults, through the package's own functions."""

from itertools import combinations

import numpy as np
import pytest

from circuitmap.diagnosis.best_probe import best_probe, bits_of_probe
from circuitmap.diagnosis.marginals import chance_of_each
from circuitmap.diagnosis.trying_in_order import (
    best_group,
    expected_cost,
    groups_take,
    halving_takes,
    one_by_one_takes,
    order_to_try,
)

# ---- de Kleer and Williams, "Diagnosing multiple faults", Artificial Intelligence 32 (1987), 97-130 ----
# A broken part may do anything; an intact one can be followed forwards and backwards.

Gate = tuple[str, str, str, str]
POLYBOX: dict[str, Gate] = {
    "M1": ("*", "A", "C", "X"), "M2": ("*", "B", "D", "Y"), "M3": ("*", "C", "E", "Z"),
    "A1": ("+", "X", "Y", "F"), "A2": ("+", "Y", "Z", "G"),
}  # fmt: skip
POLYBOX_SEEN = {"A": 3.0, "B": 2.0, "C": 2.0, "D": 3.0, "E": 3.0, "F": 10.0, "G": 12.0}


def followed(gates: dict[str, Gate], broken: tuple[str, ...], seen: dict[str, float]) -> dict[str, float] | None:
    """All values that follow with these gates broken; None when they contradict each other."""
    values = dict(seen)
    settled = False
    while not settled:
        before = len(values)
        for name, (sign, a, b, out) in gates.items():
            if name in broken:
                continue
            found: list[tuple[str, float]] = []
            if a in values and b in values:
                found.append((out, values[a] * values[b] if sign == "*" else values[a] + values[b]))
            for known, other in ((a, b), (b, a)):
                if known in values and out in values:
                    if sign == "+":
                        found.append((other, values[out] - values[known]))
                    elif values[known]:
                        found.append((other, values[out] / values[known]))
            for node, value in found:
                if values.setdefault(node, value) != pytest.approx(value):
                    return None
        settled = len(values) == before
    return values


@pytest.fixture(scope="module")
def polybox() -> list[tuple[tuple[str, ...], float, dict[str, float]]]:
    explanations = []
    for size in range(len(POLYBOX) + 1):
        for broken in combinations(POLYBOX, size):
            values = followed(POLYBOX, broken, POLYBOX_SEEN)
            if values is not None:
                explanations.append((broken, 0.01**size * 0.99 ** (len(POLYBOX) - size), values))
    return explanations


def test_polybox_explanations(polybox: list[tuple[tuple[str, ...], float, dict[str, float]]]) -> None:
    total = sum(weight for _, weight, _ in polybox)
    share = {broken: weight / total for broken, weight, _ in polybox}
    smallest = {b for b in share if not any(set(other) < set(b) for other in share)}
    assert smallest == {("A1",), ("M1",), ("M2", "A2"), ("M2", "M3")}
    assert share["A1",] == pytest.approx(0.478026, abs=5e-7)
    assert share["M1",] == pytest.approx(0.478026, abs=5e-7)


@pytest.mark.parametrize(("node", "bits"), [("X", 0.994856), ("Y", 0.079296), ("Z", 0.044798)])
def test_polybox_probes(polybox: list[tuple[tuple[str, ...], float, dict[str, float]]], node: str, bits: float) -> None:
    weights = [weight for _, weight, _ in polybox]
    predicted = [values.get(node) for _, _, values in polybox]
    assert bits_of_probe(weights, predicted) == pytest.approx(bits, abs=1e-6)


def test_polybox_best_probe(polybox: list[tuple[tuple[str, ...], float, dict[str, float]]]) -> None:
    places = {node: [values.get(node) for _, _, values in polybox] for node in "XYZ"}
    assert best_probe([weight for _, weight, _ in polybox], places)[0] == "X"


@pytest.mark.parametrize(("first_chance", "place", "bits"), [(0.01, "c", 0.9900), (0.025, "b", 0.9808)])
def test_four_inverters(first_chance: float, place: str, bits: float) -> None:
    """Four inverters in a row, a=1 in and e=0 out: probe the middle, unless the first is the likelier one."""
    chance = {"A": first_chance, "B": 0.01, "C": 0.01, "D": 0.01}
    nodes = "abcde"
    weights, values_of = [], []
    for size in range(5):
        for broken in combinations(chance, size):
            values: dict[str, int] = {"a": 1, "e": 0}
            for _ in range(5):
                for n, name in enumerate(chance):
                    if name not in broken:
                        left, right = nodes[n], nodes[n + 1]
                        if left in values:
                            values.setdefault(right, 1 - values[left])
                        if right in values:
                            values.setdefault(left, 1 - values[right])
            agrees = all(
                values[nodes[n]] != values[nodes[n + 1]]
                for n, name in enumerate(chance)
                if name not in broken and nodes[n] in values
            )
            if agrees:
                weights.append(float(np.prod([p if n in broken else 1 - p for n, p in chance.items()])))
                values_of.append(values)
    places = {node: [values.get(node) for values in values_of] for node in "bcd"}
    found, best = best_probe(weights, places)
    assert found == place
    assert best == pytest.approx(bits, abs=5e-5)


# ---- order of tries: Kalagnanam and Henrion 1990; Heckerman, Breese, Rommelse 1995 ----


def test_try_first_what_has_most_chance_per_minute() -> None:
    chances, costs = (0.5, 0.3, 0.15, 0.05), (20.0, 5.0, 2.0, 10.0)
    order = order_to_try(chances, costs)
    assert [n + 1 for n in order] == [3, 2, 1, 4]
    assert expected_cost(order, chances, costs) == pytest.approx(17.75)
    assert expected_cost((0, 1, 2, 3), chances, costs) == pytest.approx(23.40)


# ---- groups: R. Dorfman, "The detection of defective members of large populations", 1943 ----


@pytest.mark.parametrize(("chance", "size", "each"), [(0.01, 11, 0.1956), (0.05, 5, 0.4262), (0.10, 4, 0.5939)])
def test_how_many_to_test_together(chance: float, size: int, each: float) -> None:
    assert best_group(chance) == size
    assert groups_take(chance, size) == pytest.approx(each, abs=5e-5)


@pytest.mark.parametrize(("parts", "halving", "one_by_one"), [(10, 3.4, 5.4), (60, 5.933, 30.48)])
def test_half_of_what_is_left(parts: int, halving: float, one_by_one: float) -> None:
    """Derived: the mean depth of a balanced tree against a walk along the row."""
    assert halving_takes(parts) == pytest.approx(halving, abs=5e-4)
    assert one_by_one_takes(parts) == pytest.approx(one_by_one, abs=5e-3)


# ---- parts rather than explanations: Stern, Kalech, Rogov and Feldman, "How many diagnoses do we need?", 2015 ----


def test_the_part_in_many_explanations_comes_first() -> None:
    explanations = [frozenset({"C1", "C2"}), *(frozenset({"C3", f"C{n}"}) for n in range(4, 9))]
    chances = chance_of_each(explanations, [0.2] + [0.16] * 5)
    assert next(iter(chances)) == "C3"
    assert chances["C3"] == pytest.approx(0.80)
    assert chances["C1"] == pytest.approx(0.20)
