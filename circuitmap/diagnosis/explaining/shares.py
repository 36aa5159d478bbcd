"""How much of the weight of all explanations falls to each part, or to each thing the case may be about."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Shares:
    """The names that each explanation is counted under; one with two faults counts under both."""

    def __init__(self, groups: Sequence[frozenset[str]]) -> None:
        self.known = sorted(set().union(*groups))
        number = {name: n for n, name in enumerate(self.known)}
        self.rows = np.array([row for row, its in enumerate(groups) for _ in its], dtype=np.intp)
        self.columns = np.array([number[name] for its in groups for name in its], dtype=np.intp)

    def masses(self, mass: Array) -> Array:
        """The mass under each known name, in their order."""
        return np.bincount(self.columns, mass[self.rows], len(self.known)).astype(float)

    def only(self, name: str, mass: Array) -> Array:
        """The mass of each explanation that is counted under a name; 0 for the others."""
        own = self.rows[self.columns == self.known.index(name)]
        its = np.zeros_like(mass)
        its[own] = mass[own]
        return its

    def two_largest(self, mass: Array) -> tuple[str, float, str, float]:
        """The name with most of this mass and its share, and likewise the second name; empty where there is none."""
        in_all = float(mass.sum())
        its = self.masses(mass).round(12)
        best = int(np.argmax(its))
        share = float(its[best]) / in_all if in_all > 0.0 else 0.0
        its[best] = -1.0
        next_best = int(np.argmax(its))
        if next_best == best or in_all <= 0.0:
            return self.known[best], share, "", 0.0
        return self.known[best], share, self.known[next_best], float(its[next_best]) / in_all

    def largest(self, mass: Array) -> tuple[str, float]:
        """The name with most of this mass, and its share."""
        return self.two_largest(mass)[:2]
