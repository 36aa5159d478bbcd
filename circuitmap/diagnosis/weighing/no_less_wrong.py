"""That something is wrong gets no less likely with more current.

What is typed in draws what is printed, and a slip may show anything: so a current that fits a figure speaks for
something wrong, and a larger one, which fits none, by the chances alone for a slip. Nobody at a car reads it so: where
a current is more than normal already, more of it is never nearer to nothing.
"""

from collections.abc import Sequence
from typing import Generic, NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.sightings import CurrentSighting, Label
from circuitmap.diagnosis.weighing.tables import log_chances_as_if_shown, with_own_zero
from circuitmap.diagnosis.weighing.ways import Columns
from circuitmap.diagnosis.weighing.weights import Weighing

Array = NDArray[np.float64]

LOWEST, HIGHEST, PER_E_FOLD = 0.02, 100.0, 5
LADDER = LOWEST * np.exp(np.arange(int(np.log(HIGHEST / LOWEST) * PER_E_FOLD) + 1) / PER_E_FOLD)
"""The currents in A that were read instead: always the same, whatever was read, and close enough together that none in
between fits much better (a printed current is known to a quarter)."""
MOST_READINGS = 4
"""The readings that are so compared, the largest first (judgement)."""


class AboveNormal(NamedTuple, Generic[Label]):
    """A current of `amps` that was read at a place where no more than `normal` A are normal."""

    sighting: CurrentSighting[Label]
    amps: float
    normal: float


class Surest(NamedTuple):
    """How it is weighed with less current at some places: `less` is that much at each, in A, which is not positive."""

    weighing: Weighing
    less: tuple[float, ...]


def surest_with_less(weighing: Weighing, above: Sequence[AboveNormal[Label]]) -> Surest:
    """With which currents, up to those that were read, something is wrong most surely. `weighing` has a table of its
    own for each of these readings."""
    found = []
    largest = sorted(above, key=lambda its: -its.amps)[:MOST_READINGS]
    for one in above:
        less = 0.0
        if one in largest and weighing.nothing > 0.0:
            weighing, less = _surest(weighing, one)
        found.append(less)
    return Surest(weighing, tuple(found))


def _surest(weighing: Weighing, above: AboveNormal[Label]) -> tuple[Weighing, float]:
    number = next(n for n, its in enumerate(weighing.tables) if its.labels == (above.sighting.label,))
    table = weighing.tables[number]
    lower = LADDER[(above.normal < LADDER) & (above.amps > LADDER)]
    steps = (lower - above.amps).tolist()
    instead = log_chances_as_if_shown(with_own_zero(above.sighting), steps, len(weighing.odds))
    single, pairs = _by_way(weighing, table.columns, len(table.log_chance))
    best, less, most = table.log_chance, 0.0, single.sum() + pairs.sum()
    for step, log_chance in zip(steps, instead, strict=True):
        times = np.exp(log_chance - table.log_chance)
        something = (single @ times[:, 0] + (pairs * times).sum()) / times[0, 0]
        if something > most:
            best, less, most = log_chance, step, something
    if best is table.log_chance:
        return weighing, 0.0
    tables = (*weighing.tables[:number], table._replace(log_chance=best), *weighing.tables[number + 1 :])
    return weighing.with_tables(tables), less


def _by_way(weighing: Weighing, columns: Columns, ways: int) -> tuple[Array, Array]:
    """The weight of all single faults, and of all pairs, by the ways in which they touch a reading."""
    single: Array = np.bincount(columns, weighing.singles, minlength=ways).astype(float)
    way_of_row = np.zeros(len(weighing.log_single), dtype=np.intp)
    way_of_row[weighing.row_of] = columns
    rows = np.argsort(way_of_row, kind="stable")
    used, starts = np.unique(way_of_row[rows], return_index=True)
    weight = weighing.row_pairs[np.ix_(rows, rows)]
    weight = (weight + np.diag(np.diag(weight))) / 2.0
    pairs = np.zeros((ways, ways))
    pairs[np.ix_(used, used)] = np.add.reduceat(np.add.reduceat(weight, starts, axis=0), starts, axis=1)
    for pair in weighing.together:
        both = weighing.odds[pair.first] * weighing.odds[pair.second]
        single[columns[pair.as_fault]] += both * weighing.chance_single[weighing.row_of[pair.as_fault]]
        union = weighing.chance_pair[weighing.row_of[pair.first], weighing.row_of[pair.second]]
        pairs[columns[pair.first], columns[pair.second]] -= both * union
    return single, pairs
