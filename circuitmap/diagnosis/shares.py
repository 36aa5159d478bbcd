"""What of the weight of all explanations falls to each part, or to each thing it may be about."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Shares:
    """What each explanation is counted under; one with two faults under both."""

    def __init__(self, groups: Sequence[frozenset[str]]) -> None:
        self.known = sorted(set().union(*groups))
        number = {name: n for n, name in enumerate(self.known)}
        self.rows = np.array([row for row, its in enumerate(groups) for _ in its], dtype=np.intp)
        self.columns = np.array([number[name] for its in groups for name in its], dtype=np.intp)

    def masses(self, mass: Array) -> Array:
        """The mass under each known name, in their order."""
        return np.bincount(self.columns, mass[self.rows], len(self.known)).astype(float)

    def second(self, mass: Array) -> tuple[str, float]:
        """The name with most of this mass but one, and its share; nothing where there is only one."""
        in_all = float(mass.sum())
        order = np.argsort(-self.masses(mass).round(12), kind="stable")
        if len(order) < 2 or in_all <= 0.0:
            return "", 0.0
        return self.known[int(order[1])], float(self.masses(mass)[order[1]]) / in_all

    def largest(self, mass: Array) -> tuple[str, float]:
        """The name with most of this mass, and its share."""
        in_all = float(mass.sum())
        its = self.masses(mass)
        best = int(np.argmax(its.round(12)))
        return self.known[best], float(its[best]) / in_all if in_all > 0.0 else 0.0
