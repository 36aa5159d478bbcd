"""What each step is expected to tell about the part to mend, in bits."""

from collections.abc import Hashable, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.predicting import Predictions
from circuitmap.diagnosis.weighing.information import entropy, expected_bits, group_numbers

Array = NDArray[np.float64]

LEAST_FOUND = 0.08
"""Looking is not proposed if the chance of finding the fault that way is below this (judgement)."""

Scored = tuple[Action, float, tuple[str, ...], Array]
"""A step, the bits that it tells, its outcomes, and their chances under each explanation."""


def scored_steps(
    candidates: Sequence[Action], predictions: Predictions, weights: Array, parts: Sequence[frozenset[str]]
) -> list[Scored]:
    found: list[Scored] = []
    by_outcomes: dict[tuple[str, ...], list[tuple[Action, Array]]] = {}
    groups, _ = group_numbers(parts)  # a number is told from others sooner than a set of names
    for action, names, chances in predictions.of_all(candidates):
        if action.tells == "what a look finds":
            bits = bits_of_finding(weights, groups, chances[:, 0], predictions.sights.shown_by(action))
            likely = float((weights * chances[:, 0]).sum() / weights.sum()) >= LEAST_FOUND
            found.append((action, bits if likely else 0.0, names, chances))
        elif action.tells == "a wrong input":
            # Live data name the input that is wrong: that is the part, and not one of all that have inputs.
            bits = bits_of_finding(weights, groups, chances[:, 0], predictions.sights.shown_by(action))
            found.append((action, bits, names, chances))
        else:
            by_outcomes.setdefault(names, []).append((action, chances))
    for names, group in by_outcomes.items():
        told = expected_bits(weights, groups, np.stack([chances for _, chances in group]))
        found += [(action, float(b), names, chances) for (action, chances), b in zip(group, told, strict=True)]
    return found


def bits_of_finding(
    weights: Array, groups: Sequence[Hashable] | NDArray[np.intp], seen: Array, shown: Sequence[frozenset[str]]
) -> float:
    """Expected information from a look that either finds the very part or finds nothing. `groups` are the parts to
    mend, by numbers; `shown` is what it finds under each explanation: of two faults perhaps only one, and the other is
    still to be looked for."""
    numbers, count = group_numbers(groups)
    before = np.bincount(numbers, weights, count).astype(float)
    after = np.bincount(numbers, weights * (1.0 - seen), count).astype(float)
    left = float(after.sum() * entropy(after)) if after.any() else 0.0
    by_find: dict[frozenset[str], dict[int, float]] = {}
    for its, group, mass in zip(shown, numbers.tolist(), (weights * seen).tolist(), strict=True):
        masses = by_find.setdefault(its, {})
        masses[group] = masses.get(group, 0.0) + mass
    for masses in by_find.values():
        if len(masses) > 1 and any(masses.values()):
            left += sum(masses.values()) * float(entropy(np.array(list(masses.values()))))
    return float(max(entropy(before) - left / before.sum(), 0.0))
