"""If it is two things: which two, told by what they are about. Pairs of faults are too many to stand apart; what they
are about does."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np

from circuitmap.diagnosis.explaining.classes import weights_of_pairs
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.weighing.weights import Weighing

MOST_SUBJECTS = 150
"""Subjects that are paired, the likeliest (judgement)."""
MOST_TOLD = 5


class Two(NamedTuple):
    """Two subjects, the likelier first (twice the same: two things about it), with the likeliest fault of each.
    `probability` is given that it is two things."""

    about: tuple[str, str]
    probability: float
    faults: tuple[Fault, Fault]


@dataclass(frozen=True)
class IfTwo:
    """The likeliest pairs, worked out when somebody asks: few answers tell them."""

    weighing: Weighing = field(compare=False, repr=False)
    faults: tuple[Fault, ...] = field(compare=False, repr=False)

    @cached_property
    def told(self) -> tuple[Two, ...]:
        return if_two(self.weighing, self.faults)


def if_two(weighing: Weighing, faults: Sequence[Fault], most: int = MOST_TOLD) -> tuple[Two, ...]:
    """The likeliest pairs of subjects, so many `most`."""
    if weighing.pairs_in_all <= 0.0:
        return ()
    held = weighing.given_something
    groups: dict[str, list[int]] = {}
    for number, fault in enumerate(faults):
        if weighing.odds[number] > 0.0:
            groups.setdefault(fault.about, []).append(number)
    chance = {about: float(held[members].sum()) for about, members in groups.items()}
    abouts = sorted(groups, key=lambda about: (-round(chance[about], 12), about))[:MOST_SUBJECTS]
    if len(abouts) < 2:
        return ()
    upper = np.triu(weights_of_pairs(weighing, [groups[about] for about in abouts])) / weighing.pairs_in_all
    found = []
    for flat in np.argsort(-upper.round(12), axis=None, kind="stable")[:most].tolist():
        a, b = divmod(flat, len(abouts))
        if upper[a, b] > 0.0:
            likeliest = _likeliest(weighing, groups[abouts[a]], groups[abouts[b]])
            pair = (faults[likeliest[0]], faults[likeliest[1]])
            found.append(Two((abouts[a], abouts[b]), float(min(upper[a, b], 1.0)), pair))
    return tuple(found)


def _likeliest(weighing: Weighing, some: list[int], others: list[int]) -> tuple[int, int]:
    rows = weighing.row_of
    weights = (
        np.outer(weighing.odds[some], weighing.odds[others]) * weighing.chance_pair[np.ix_(rows[some], rows[others])]
    )
    if some is others or some == others:
        np.fill_diagonal(weights, -1.0)
    a, b = divmod(int(np.argmax(weights.round(15))), len(others))
    return some[a], others[b]
