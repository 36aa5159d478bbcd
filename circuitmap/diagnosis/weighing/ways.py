"""The distinct ways in which faults touch an observation, and the currents of two of them together."""

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from math import exp, log
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.sightings import Brought, MisreadBranch

Array = NDArray[np.float64]
Columns = NDArray[np.intp]
_Way = tuple[tuple[int, ...], float, float, float]
"""What a fault brings: the currents shared with others, the mean and variance of its own, the chance of nothing."""


class WaysTouched(NamedTuple):
    """The distinct ways in which faults touch an observation; row 0 leaves it alone.

    `shared` marks the currents that several faults bring, which count once; `mean`, `variance` are totals; `taken`
    are the branches that are taken off, a bit for each; `nothing` is the chance that all of it is nothing
    of which nobody typed what it takes, so that the way is that of row `then`; `slip` the chance that a branch was
    misread, so that it is that of row `instead`.
    """

    columns: Columns
    shared: Array
    shared_mean: Array
    shared_variance: Array
    mean: Array
    variance: Array
    taken: Columns
    nothing: Array
    then: Columns
    slip: Array
    instead: Columns

    def united(self) -> tuple[Array, Array]:
        """Mean and variance of every way together with every other."""
        mean = self.mean[:, None] + self.mean
        variance = self.variance[:, None] + self.variance
        rows = np.flatnonzero(self.shared.any(axis=1))
        if len(rows):
            marks = self.shared[rows]
            block = np.ix_(rows, rows)
            mean[block] -= (marks * self.shared_mean) @ marks.T
            variance[block] -= (marks * self.shared_variance) @ marks.T
            np.maximum(mean, 0.0, out=mean)
            np.maximum(variance, 0.0, out=variance)
        return mean, variance


def ways_of(
    brought: Mapping[int, tuple[Brought, ...]],
    faults: int,
    taken: Mapping[int, int] = MappingProxyType({}),
    slips: Mapping[int, MisreadBranch] = MappingProxyType({}),
) -> WaysTouched:
    everything = (*brought.values(), *(slip.brought for slip in slips.values()))
    alike = Counter(map(id, everything))
    distinct = {id(currents): currents for currents in everything}
    sizes: dict[Hashable, set[tuple[float, float]]] = {}
    shared: set[Hashable] = set()
    for its_id, currents in distinct.items():
        several = alike[its_id] > 1
        for key, mean, variance, _ in currents:
            known = sizes.get(key)
            if known is None:
                sizes[key] = {(mean, variance)}
            else:
                known.add((mean, variance))
            if several or known is not None:
                shared.add(key)
    # A current that one fault brings for certain and another perhaps is taken apart into what both bring and the
    # rest, so that together they bring it for certain.
    number: dict[Hashable, dict[tuple[float, float], tuple[int, ...]]] = {}
    parts: list[tuple[float, float]] = []
    for key, its_sizes in sizes.items():
        if key in shared:
            below, so_far = (0.0, 0.0), []
            number[key] = {}
            for size in sorted(its_sizes):
                so_far.append(len(parts))
                parts.append((size[0] - below[0], size[1] - below[1]))
                number[key][size] = tuple(so_far)
                below = size
    moments = np.array(parts, dtype=float).reshape(-1, 2).T
    fine = len(distinct) <= MOST_EXACT

    def described_as(currents: Iterable[Brought]) -> tuple[tuple[int, ...], float, float]:
        marks: list[int] = []
        own_mean = own_variance = 0.0
        for key, mean, variance, _ in currents:
            at = number.get(key)
            if at is None:
                own_mean += mean
                own_variance += variance
            else:
                marks += at[mean, variance]
        own = (own_mean, own_variance) if fine else (_rounded(own_mean), _rounded(own_variance))
        return tuple(sorted(marks)), *own

    described: dict[int, tuple[_Way, _Way]] = {}
    for its_id, currents in distinct.items():
        perhaps = min((current.nothing for current in currents if current.nothing > 0.0), default=0.0)
        typed = described_as(current for current in currents if current.nothing == 0.0)
        described[its_id] = ((*described_as(currents), perhaps), (*typed, 0.0))
    columns = np.zeros(faults, dtype=np.intp)
    ways: dict[tuple[tuple[int, ...], float, float, float, int, float, int], int] = {((), 0.0, 0.0, 0.0, 0, 0.0, 0): 0}
    rows: dict[tuple[int, int, int], int] = {}
    rest_of: dict[int, int] = {}

    def row_of(way: _Way, its_taken: int, slip: MisreadBranch | None = None) -> int:
        if slip is None:
            return ways.setdefault((*way, its_taken, 0.0, 0), len(ways))
        misread = row_of((*described[id(slip.brought)][0][:3], 0.0), its_taken & ~(1 << slip.branch))
        return ways.setdefault((*way, its_taken, round(slip.chance, 2), misread), len(ways))

    nobody: _Way = ((), 0.0, 0.0, 0.0)
    for fault in {**brought, **taken}:
        its_own, its_taken, slip = brought.get(fault), taken.get(fault, 0), slips.get(fault)
        its_way = id(its_own), its_taken, id(slip)
        row = rows.get(its_way)
        if row is None:
            whole, rest = described[id(its_own)] if its_own is not None else (nobody, nobody)
            row = rows[its_way] = row_of(whole, its_taken, slip)
            if whole[3] > 0.0:
                rest_of[row] = row_of(rest, its_taken)
        columns[fault] = row
    marked = np.zeros((len(ways), len(parts)))
    own_moments = np.zeros((2, len(ways)))
    taken_by, then, instead = np.zeros((3, len(ways)), dtype=np.intp)
    nothing, slipped = np.zeros((2, len(ways)))
    for (marks_of_way, mean, variance, its_nothing, its_taken, its_slip, misread), row in ways.items():
        marked[row, list(marks_of_way)] = 1.0
        own_moments[:, row] = mean, variance
        taken_by[row], nothing[row], slipped[row] = its_taken, its_nothing, its_slip
        then[row], instead[row] = rest_of.get(row, row), misread if its_slip > 0.0 else row
    mean_of, variance_of = own_moments + moments @ marked.T
    return WaysTouched(
        columns, marked, moments[0], moments[1], mean_of, variance_of, taken_by, nothing, then, slipped, instead
    )


MOST_SORTED = 48
MOST_EXACT = 256
"""WaysTouched to touch one reading up to which every current is taken to the last digit."""
_STEPS_PER_E_FOLD = 100


def _rounded(amount: float) -> float:
    """To the nearest per cent: where hundreds of unread parts hide behind one reading, nobody knows them better."""
    return exp(round(log(amount) * _STEPS_PER_E_FOLD) / _STEPS_PER_E_FOLD) if amount > 0.0 else 0.0


def distinct_sums(mean: Array, variance: Array) -> tuple[Array, Array, NDArray[np.intp]]:
    """The sums that differ, and for each entry of the square which one it is. Of a large square, where sorting would
    cost more than it saves, one of its halves."""
    size = len(mean)
    if size > MOST_SORTED:
        upper = np.triu_indices(size)
        which = np.zeros((size, size), dtype=np.intp)
        which[upper] = np.arange(len(upper[0]))
        which[upper[1], upper[0]] = which[upper]
        return mean[upper], variance[upper], which
    both = np.ascontiguousarray(np.stack([mean.reshape(-1), variance.reshape(-1)], axis=1).round(15))
    _, first, which = np.unique(both.view(np.complex128).reshape(-1), return_index=True, return_inverse=True)
    return both[first, 0], both[first, 1], which.reshape(mean.shape)


def numbers_of_rows(rows: NDArray[np.intp]) -> NDArray[np.intp]:
    """A number for each distinct row, in the order in which they come."""
    rows = np.ascontiguousarray(rows)
    as_bytes = rows.view(np.dtype((np.void, rows.shape[1] * rows.itemsize))).ravel().tolist()  # told apart sooner
    met: dict[object, int] = {}
    return np.array([met.setdefault(row, len(met)) for row in as_bytes], dtype=np.intp)


def joined(columns: Sequence[Columns]) -> tuple[Columns, NDArray[np.intp]]:
    """One column number for each distinct combination; combination 0 leaves everything alone."""
    stacked = np.zeros((len(columns[0]) + 1, len(columns)), dtype=np.intp)
    for number, its in enumerate(columns):
        stacked[1:, number] = its
    which = numbers_of_rows(stacked)
    return which[1:], stacked[np.unique(which, return_index=True)[1]]
