"""Worked examples from the literature on finding faults, through the functions that answer users."""

from collections.abc import Hashable, Mapping, Sequence
from itertools import combinations

import numpy as np
import pytest

from circuitmap.diagnosis.explaining.shares import Shares
from circuitmap.diagnosis.weighing.information import expected_bits


def bits_of_probe(weights: Sequence[float], predicted: Sequence[Hashable | None]) -> float:
    """Bits about which explanation holds, from looking at one place. `predicted`: what each explanation would have us
    find there; one that predicts nothing may show any outcome with equal chance (as in the article below)."""
    outcomes = list(dict.fromkeys(value for value in predicted if value is not None))
    chances = np.array(
        [[1.0 / len(outcomes) if value is None else float(value == its) for its in outcomes] for value in predicted]
    )
    return float(expected_bits(np.asarray(weights, dtype=float), range(len(weights)), chances))


def best_probe(weights: Sequence[float], places: Mapping[str, Sequence[Hashable | None]]) -> tuple[str, float]:
    bits = {place: bits_of_probe(weights, predicted) for place, predicted in places.items()}
    best = max(bits, key=lambda place: round(bits[place], 12))
    return best, bits[best]


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


# ---- parts rather than explanations: Stern, Kalech, Rogov and Feldman, "How many diagnoses do we need?", 2015 ----


def test_the_part_in_many_explanations_comes_first() -> None:
    explanations = [frozenset({"C1", "C2"}), *(frozenset({"C3", f"C{n}"}) for n in range(4, 9))]
    shares = Shares(explanations)
    mass = np.array([0.2] + [0.16] * 5)
    part, share = shares.largest(mass)
    assert (part, share) == ("C3", pytest.approx(0.80))
    chance = dict(zip(shares.known, shares.masses(mass), strict=True))
    assert chance["C3"] == pytest.approx(0.80)
    assert chance["C1"] == pytest.approx(0.20)
