"""The advice against the exact optimum, on problems small enough for the latter.

What each explanation expects of each action is the tool's own table, each taken at its likeliest outcome, so that a
test divides the explanations for good; any part can also be tried by itself. The optimum is found by going through
every plan; the advice always does what the tool would. Both end when one part is left.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from circuitmap.diagnosis.explaining.listing import listed
from circuitmap.diagnosis.faults.fault_kinds import ODDS_OF_NOTHING
from circuitmap.diagnosis.next_test.actions import Actions
from circuitmap.diagnosis.next_test.predicting import Predictions, Setting
from circuitmap.diagnosis.next_test.ranking import best_by_the_minute
from circuitmap.diagnosis.prepared import none_of_these, prepared_for
from circuitmap.diagnosis.seen.netting import netted
from circuitmap.diagnosis.seen.observing import currents_seen
from circuitmap.diagnosis.seen.trying import normal_up_to
from circuitmap.diagnosis.weighing.information import expected_bits
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.diagnosis.weighing.weights import weighed
from tests.benchmarks.diagnosis.asking import Car

MOST_PARTS = 9
TRYING = 25.0
"""Minutes to try one part by itself, where no cheaper test does that."""


@dataclass(frozen=True)
class Problem:
    """Chances of the parts, and for each test its minutes and the outcome it has with each part."""

    chances: tuple[float, ...]
    tests: tuple[tuple[float, tuple[int, ...]], ...]


def problem_of(car: Car) -> Problem:
    """The next-test problem as it stands on a car: the likeliest parts, and every action that divides them."""
    circuit, evidence = car.circuit, car.evidence
    ready = prepared_for(circuit, {}, evidence)
    nets = netted(evidence.readings, ready.tree, ready.routes)
    faults = (*ready.faults, *none_of_these(nets, ready.tree, ready.parked))
    sightings = currents_seen(nets, faults, ready.parked, ready.tree)
    odds = np.array([fault.odds for fault in faults])
    weighing = weighed(tables_of(sightings, len(faults)), odds, odds_of_nothing=ODDS_OF_NOTHING)
    explanations = listed(weighing)
    total = nets.totals[0]
    limit = normal_up_to(ready.parked, ready.tree, "BAT") + 0.01
    was = max(total.amps or 0.0, 2.0 * limit)
    setting = Setting("BAT", was, limit, 0.01, frozenset(s.place for s in nets.segments))
    predictions = Predictions(ready.expectations, faults, explanations, setting)
    actions = [
        action
        for action in Actions(ready.handling, faults).all(explanations, setting.measured, ())
        if action.doing != "look"
    ]
    parts = explanations.parts_of(faults)
    single = [n for n, its in enumerate(parts) if len(its) == 1]
    weight: dict[str, float] = {}
    head: dict[str, int] = {}
    for n in single:
        (part,) = parts[n]
        weight[part] = weight.get(part, 0.0) + float(explanations.weights[n])
        head.setdefault(part, n)
    chosen = sorted(weight, key=lambda part: (-weight[part], part))[:MOST_PARTS]
    mass = sum(weight[part] for part in chosen)
    tests: dict[tuple[int, ...], float] = {}
    for action, _, table in predictions.of_all(actions):
        outcome = tuple(int(np.argmax(table[head[part]])) for part in chosen)
        if len(set(outcome)) > 1:
            tests[outcome] = min(tests.get(outcome, np.inf), action.minutes)
    for n in range(len(chosen)):
        alone = tuple(int(k == n) for k in range(len(chosen)))
        tests[alone] = min(tests.get(alone, np.inf), TRYING)
    return Problem(
        tuple(weight[part] / mass for part in chosen), tuple((minutes, its) for its, minutes in sorted(tests.items()))
    )


def expected_minutes(problem: Problem) -> tuple[float, float]:
    """Of the optimum and of the advice."""
    return _optimum(problem), _advice(problem)


def _halves(left: frozenset[int], outcome: tuple[int, ...]) -> list[frozenset[int]]:
    found: dict[int, set[int]] = {}
    for part in left:
        found.setdefault(outcome[part], set()).add(part)
    return [frozenset(its) for its in found.values()]


def _optimum(problem: Problem) -> float:
    @cache
    def best(left: frozenset[int]) -> float:
        if len(left) == 1:
            return 0.0
        mass = sum(problem.chances[part] for part in left)
        least = np.inf
        for minutes, outcome in problem.tests:
            halves = _halves(left, outcome)
            if len(halves) > 1 and mass * minutes < least:
                least = min(least, mass * minutes + sum(best(half) for half in halves))
        return float(least)

    return best(frozenset(range(len(problem.chances))))


def _advice(problem: Problem) -> float:
    def follow(left: frozenset[int]) -> float:
        mass = sum(problem.chances[part] for part in left)
        if len(left) == 1:
            return 0.0
        parts = sorted(left)
        weights = np.array([problem.chances[part] for part in parts])
        scored = []
        for minutes, outcome in problem.tests:
            halves = _halves(left, outcome)
            if len(halves) > 1:
                values = sorted({outcome[part] for part in parts})
                chances = np.array([[float(outcome[part] == value) for value in values] for part in parts])
                scored.append((float(expected_bits(weights, parts, chances)), minutes, halves))
        _, minutes, halves = scored[best_by_the_minute([s[0] for s in scored], [s[1] for s in scored])]
        return mass * minutes + sum(follow(half) for half in halves)

    return follow(frozenset(range(len(problem.chances))))
