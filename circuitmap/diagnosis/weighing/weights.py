"""The weight of every explanation: nothing wrong, every single fault, every pair of faults.

All of them are weighed; there is no search. Faults that no observation tells apart share a row, so the square of pairs
is as small as the readings are coarse, and a pair differs from its two faults weighed apart only at the observations
that both of them touch.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.tables import Table
from circuitmap.diagnosis.weighing.ways import Columns, numbers_of_rows

Array = NDArray[np.float64]


class Together(NamedTuple):
    """Two faults whose joint effect is more than their union (one's contact feeds what the other wakes):
    `as_fault` is the number of a row of the tables that stands for both."""

    first: int
    second: int
    as_fault: int


@dataclass(frozen=True)
class Weighing:
    """Everything that was weighed.

    Weights are relative to the heaviest explanation, so that nothing overflows. `odds` has one entry a fault, 0 for a
    row that only stands for a pair. `row_of` gives each fault its row; row 0 is the car with nothing wrong.
    """

    tables: tuple[Table[Hashable], ...]
    odds: Array
    odds_of_nothing: float
    together: tuple[Together, ...]
    row_of: Columns
    log_single: Array
    log_pair: Array

    def with_tables(self, tables: Sequence[Table[Hashable]]) -> "Weighing":
        """The same explanations, weighed by other tables."""
        return weighed(tables, self.odds, odds_of_nothing=self.odds_of_nothing, together=self.together)

    @cached_property
    def top(self) -> float:
        """The largest log chance among the rows that carry weight; all weights are relative to it."""
        busy = np.flatnonzero(self.row_odds > 0.0)
        best = [self.log_single[0] if self.odds_of_nothing > 0.0 else -np.inf]
        best.append(self.log_single[busy].max(initial=-np.inf))
        best.append(self.log_pair[np.ix_(busy, busy)].max(initial=-np.inf))
        for pair in self.together:
            best.append(self.log_single[self.row_of[pair.as_fault]])
        return float(max(best))

    @cached_property
    def chance_single(self) -> Array:
        """Relative chance of all observations under one fault of each row."""
        return np.exp(self.log_single - self.top)

    @cached_property
    def chance_pair(self) -> Array:
        """Relative chance of all observations under one fault of each of two rows."""
        return np.exp(np.minimum(self.log_pair - self.top, 700.0))

    @cached_property
    def nothing(self) -> float:
        return self.odds_of_nothing * float(self.chance_single[0])

    @cached_property
    def singles(self) -> Array:
        """Weight of each fault alone."""
        return self.odds * self.chance_single[self.row_of]

    @cached_property
    def row_odds(self) -> Array:
        return np.bincount(self.row_of, self.odds, minlength=len(self.log_single)).astype(float)

    @cached_property
    def row_odds_squared(self) -> Array:
        return np.bincount(self.row_of, np.square(self.odds), minlength=len(self.log_single)).astype(float)

    @cached_property
    def row_pairs(self) -> Array:
        """Weight of all pairs with one fault in each of two rows (on the diagonal: both in the row).

        Symmetric: the pairs of two different rows stand on both sides. `together` is not included yet."""
        weight = np.outer(self.row_odds, self.row_odds) * self.chance_pair
        np.fill_diagonal(
            weight,
            0.5 * np.maximum(np.square(self.row_odds) - self.row_odds_squared, 0.0) * np.diag(self.chance_pair),
        )
        return weight

    def mended(self, pair: Together) -> float:
        """What to add to the weight that the union gives to a pair."""
        a, b = pair.first, pair.second
        union = self.chance_pair[self.row_of[a], self.row_of[b]]
        real = self.chance_single[self.row_of[pair.as_fault]]
        return float(self.odds[a] * self.odds[b] * (real - union))

    @cached_property
    def pairs_in_all(self) -> float:
        apart = (self.row_pairs.sum() + np.trace(self.row_pairs)) / 2.0
        return float(apart) + sum(map(self.mended, self.together))

    @cached_property
    def something(self) -> float:
        """Weight of all explanations in which something is wrong."""
        return float(self.singles.sum()) + self.pairs_in_all

    @cached_property
    def something_wrong(self) -> float:
        """Probability that something is wrong."""
        return self.something / (self.something + self.nothing)

    @cached_property
    def two_faults(self) -> float:
        """Given that something is wrong, the probability that it is two things."""
        return self.pairs_in_all / self.something

    @cached_property
    def given_something(self) -> Array:
        """Given that something is wrong, the probability of each fault, alone or with another."""
        partners = self.chance_pair @ self.row_odds
        own = self.chance_pair.diagonal()[self.row_of]
        weight = self.singles + self.odds * (partners[self.row_of] - self.odds * own)
        for pair in self.together:
            more = self.mended(pair)
            weight[pair.first] += more
            weight[pair.second] += more
        return np.clip(weight / self.something, 0.0, 1.0)

    def pair(self, first: int, second: int) -> float:
        """Weight of two faults at once."""
        for known in self.together:
            if {known.first, known.second} == {first, second}:
                return float(self.odds[first] * self.odds[second] * self.chance_single[self.row_of[known.as_fault]])
        return float(self.odds[first] * self.odds[second] * self.chance_pair[self.row_of[first], self.row_of[second]])

    def any_of_each(self, groups: Sequence[Sequence[int]]) -> Array:
        """`any_of` for many groups of faults at once."""
        single = self.given_something
        chance = np.array([single[group[0]] if len(group) == 1 else single[list(group)].sum() for group in groups])
        several = [n for n, group in enumerate(groups) if len(group) > 1]
        if several:
            used = np.flatnonzero(np.bincount(np.concatenate([self.row_of[list(groups[n])] for n in several])))
            place = np.zeros(len(self.log_single), dtype=np.intp)
            place[used] = np.arange(len(used))
            both = self.chance_pair[np.ix_(used, used)]
            own = both.diagonal()
            members = np.concatenate([groups[n] for n in several]).astype(np.intp)
            group = np.repeat(np.arange(len(several)), [len(groups[n]) for n in several])
            rows = place[self.row_of[members]]
            odds = np.bincount(group * len(used) + rows, self.odds[members], len(several) * len(used))
            odds = odds.reshape(len(several), len(used))
            squares = np.bincount(group, np.square(self.odds[members]) * own[rows], len(several))
            twice = (((odds @ both) * odds).sum(axis=1) - squares) / 2.0
            if self.together:
                for row, n in enumerate(several):
                    its = set(groups[n])
                    twice[row] += sum(self.mended(t) for t in self.together if t.first in its and t.second in its)
            chance[several] -= twice / self.something
        return np.asarray(np.clip(chance, 0.0, 1.0))

    def any_of(self, faults: Sequence[int]) -> float:
        """Given that something is wrong, the probability that one or two of these faults are there."""
        if len(faults) == 1:
            return float(self.given_something[faults[0]])
        numbers = np.asarray(faults, dtype=np.intp)
        odds, rows = self.odds[numbers], self.row_of[numbers]
        both = np.outer(odds, odds) * self.chance_pair[np.ix_(rows, rows)]
        twice = (both.sum() - np.trace(both)) / 2.0
        members = set(faults)
        for pair in self.together:
            if pair.first in members and pair.second in members:
                twice += self.mended(pair)
        return float(np.clip(self.given_something[numbers].sum() - twice / self.something, 0.0, 1.0))


def weighed(
    tables: Sequence[Table[Hashable]], odds: Array, *, odds_of_nothing: float = 1.0, together: Sequence[Together] = ()
) -> Weighing:
    """Weigh everything. `odds` are the odds of each fault against nothing being wrong."""
    tables = tuple(tables)
    faults = len(odds)
    if tables:
        columns = np.zeros((faults + 1, len(tables)), dtype=np.intp)
        for number, table in enumerate(tables):
            columns[1:, number] = table.columns
        which = numbers_of_rows(columns)
        rows = columns[np.unique(which, return_index=True)[1]]
    else:
        rows, which = np.zeros((1, 0), dtype=np.intp), np.zeros(faults + 1, dtype=np.intp)
    single, pair = _summed(tables, rows)
    return Weighing(tables, np.asarray(odds, dtype=float), odds_of_nothing, tuple(together), which[1:], single, pair)


def _summed(tables: tuple[Table[Hashable], ...], rows: NDArray[np.intp]) -> tuple[Array, Array]:
    """Log chances of single rows and of pairs of rows, observation by observation."""
    single = np.zeros(len(rows))
    both = np.zeros((len(rows), len(rows)))
    for number, table in enumerate(tables):
        columns = rows[:, number]
        alone = table.log_chance[:, 0]
        single += alone[columns]
        beyond = table.log_chance - alone[:, None] - alone + alone[0]
        touching = np.flatnonzero(columns)
        at = columns[touching]
        both[np.ix_(touching, touching)] += beyond[np.ix_(at, at)]
    healthy = sum(table.log_chance[0, 0] for table in tables)
    both += single[:, None] + single
    both -= healthy
    return single, both
