"""What each outcome of a step would leave likeliest."""

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.explaining.shares import Shares
from circuitmap.diagnosis.next_test.planned import OutcomeBranch

Array = NDArray[np.float64]


def outcome_branches(
    names: tuple[str, ...], chances: Array, weights: Array, by_part: Shares, by_about: Shares
) -> tuple[OutcomeBranch, ...]:
    """Each outcome with its chance, and the part and subject that it makes likeliest. `chances` has a row for each
    explanation and a column for each name."""
    found = []
    for n, name in enumerate(names):
        mass = weights * chances[:, n]
        chance = float(mass.sum()) / float(weights.sum())
        part, then, beside, beside_then = by_part.two_largest(mass)
        found.append(OutcomeBranch(name, chance, part, then, *by_about.largest(mass), beside, beside_then))
    return tuple(found)
