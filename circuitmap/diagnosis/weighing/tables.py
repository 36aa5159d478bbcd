"""From an observation to a small table: the chance of it under every pair of ways to be touched.

Most faults touch few readings, and many touch them alike. So each observation gives every fault a column (0: the fault
leaves it alone) and keeps one table of log chances, column against column, for both faults at once; against column 0
stands what one fault alone would show.
"""

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import replace
from math import ceil, exp, log
from types import MappingProxyType
from typing import Generic, NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.outcomes import OUTCOMES, chances_of_outcomes
from circuitmap.diagnosis.weighing.reading_chance import Asked, Strip, weigh_each
from circuitmap.diagnosis.weighing.sightings import (
    Brought,
    CurrentSighting,
    Label,
    Sighting,
    StateSighting,
    TrySighting,
)

Array = NDArray[np.float64]
Columns = NDArray[np.intp]

_ZERO_REACH = 4.0
_FEWEST_ZEROS, _MOST_ZEROS = 15, 91
_AT_ONCE = 1_000_000
_FEW = 16
"""Faults that touch a reading, up to which it is weighed at once with others: together they still take little room."""


class Table(NamedTuple, Generic[Label]):
    """`columns` has one entry a fault; `log_chance[a, b]` is the natural logarithm of the chance of everything that
    `labels` names, with one fault of column a and another of column b."""

    labels: tuple[Label, ...]
    columns: Columns
    log_chance: Array


def tables_of(sightings: Sequence[Sighting[Label]], faults: int) -> tuple[Table[Label], ...]:
    """One table per observation; readings that share the zero of a meter come as one table."""
    by_meter: dict[str, list[CurrentSighting[Label]]] = {}
    currents: list[CurrentSighting[Label]] = []
    tables: list[Table[Label]] = []
    for sighting in sightings:
        if isinstance(sighting, CurrentSighting):
            if sighting.zero is not None and sighting.zero.amps != 0.0:
                by_meter.setdefault(sighting.zero.meter, []).append(sighting)
            else:
                currents.append(sighting)
        elif isinstance(sighting, StateSighting):
            tables.append(_table_of_state(sighting, faults))
        else:
            tables.append(_table_of_try(sighting, faults))
    for together in by_meter.values():
        if len(together) == 1:
            currents.append(_with_own_zero(together[0]))
        else:
            tables.append(_table_of_one_zero(together, faults))
    return (*_tables_of_currents(currents, faults), *tables)


def tables_alone(sightings: Sequence[Sighting[Label]], faults: int) -> list[Table[Label]]:
    """The table of each observation as if its meter's zero were its own."""
    few = [
        _with_own_zero(sighting)
        for sighting in sightings
        if isinstance(sighting, CurrentSighting) and len(sighting.brought) <= _FEW
    ]
    weighed = {table.labels[0]: table for table in _tables_of_currents(few, faults)}
    return [_known_or_alone(sighting, weighed, faults) for sighting in sightings]


def _known_or_alone(sighting: Sighting[Label], known: Mapping[Label, Table[Label]], faults: int) -> Table[Label]:
    if sighting.label in known:
        return known[sighting.label]
    if isinstance(sighting, CurrentSighting):
        return _tables_of_currents([_with_own_zero(sighting)], faults)[0]
    return tables_of((sighting,), faults)[0]


def _with_own_zero(sighting: CurrentSighting[Label]) -> CurrentSighting[Label]:
    if sighting.zero is None:
        return sighting
    zero = sighting.zero.amps
    strip, *others = (
        strip._replace(blur=float(np.hypot(strip.blur, zero))) for strip in (sighting.strip, *sighting.other_strips)
    )
    return replace(sighting, strip=strip, other_strips=tuple(others), zero=None)


class _Ways(NamedTuple):
    """The distinct ways in which faults touch an observation; row 0 stands for leaving it alone.

    `shared` marks the currents that several faults bring, which count once; `mean` and `variance` are totals; `strip`
    is the number of the strip that holds, 0 for the sighting's own.
    """

    columns: Columns
    shared: Array
    shared_mean: Array
    shared_variance: Array
    mean: Array
    variance: Array
    strip: Columns

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


def _ways_of(
    brought: Mapping[int, tuple[Brought, ...]], faults: int, strip_of: Mapping[int, int] = MappingProxyType({})
) -> _Ways:
    alike = Counter(map(id, brought.values()))
    distinct = {id(currents): currents for currents in brought.values()}
    sizes: dict[Hashable, set[tuple[float, float]]] = {}
    shared: set[Hashable] = set()
    for its_id, currents in distinct.items():
        several = alike[its_id] > 1
        for key, mean, variance in currents:
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
    described = {}
    fine = len(distinct) <= MOST_EXACT
    for its_id, currents in distinct.items():
        marks: list[int] = []
        own_mean = own_variance = 0.0
        for key, mean, variance in currents:
            at = number.get(key)
            if at is None:
                own_mean += mean
                own_variance += variance
            else:
                marks += at[mean, variance]
        own = (own_mean, own_variance) if fine else (_rounded(own_mean), _rounded(own_variance))
        described[its_id] = (tuple(sorted(marks)), *own)
    columns = np.zeros(faults, dtype=np.intp)
    ways: dict[tuple[tuple[int, ...], float, float, int], int] = {((), 0.0, 0.0, 0): 0}
    rows: dict[tuple[int, int], int] = {}
    for fault, currents in brought.items():
        its_way = id(currents), strip_of.get(fault, -1) + 1
        row = rows.get(its_way)
        if row is None:
            row = rows[its_way] = ways.setdefault((*described[its_way[0]], its_way[1]), len(ways))
        columns[fault] = row
    for fault, strip_number in strip_of.items():
        if fault not in brought:
            columns[fault] = ways.setdefault(((), 0.0, 0.0, strip_number + 1), len(ways))
    marked = np.zeros((len(ways), len(parts)))
    own_moments = np.zeros((2, len(ways)))
    strip = np.zeros(len(ways), dtype=np.intp)
    for (marks_of_way, mean, variance, its_strip), row in ways.items():
        marked[row, list(marks_of_way)] = 1.0
        own_moments[:, row] = mean, variance
        strip[row] = its_strip
    mean_of, variance_of = own_moments + moments @ marked.T
    return _Ways(columns, marked, moments[0], moments[1], mean_of, variance_of, strip)


MOST_SORTED = 48
MOST_EXACT = 256
"""Up to this many ways to touch one reading, every current is taken to the last digit."""
_STEPS_PER_E_FOLD = 100


def _rounded(amount: float) -> float:
    """Rounds to the nearest per cent: where hundreds of unread parts hide behind one reading, nobody knows them
    better."""
    return exp(round(log(amount) * _STEPS_PER_E_FOLD) / _STEPS_PER_E_FOLD) if amount > 0.0 else 0.0


def _distinct_sums(mean: Array, variance: Array) -> tuple[Array, Array, NDArray[np.intp]]:
    """The distinct sums, and for each entry of the square the index of its sum. Of a large square, where sorting would
    cost more than it saves, one half is taken as it is."""
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


class _Sums(NamedTuple):
    """What may flow at a reading: the ways to touch it, mean and variance of the distinct sums, and the index of the
    sum for each pair of ways."""

    ways: _Ways
    means: Array
    variances: Array
    which: NDArray[np.intp]


def _sums_at(sighting: CurrentSighting[Hashable], faults: int) -> _Sums:
    ways = _ways_of(sighting.brought, faults, sighting.strip_of)
    mean, variance = ways.united()
    sums = _distinct_sums(mean + sighting.healthy_mean, variance + sighting.healthy_variance)
    return _Sums(ways, *sums)


def _tables_of_currents(sightings: Sequence[CurrentSighting[Label]], faults: int) -> list[Table[Label]]:
    """Weighs readings that share no zero, all at once."""
    sums = [_sums_at(sighting, faults) for sighting in sightings]
    asked = [
        Asked(strip, its.means, its.variances, sighting.misread)
        for sighting, its in zip(sightings, sums, strict=True)
        for strip in (sighting.strip, *sighting.other_strips)
    ]
    weighed = iter(weigh_each(asked))
    found = []
    for sighting, its in zip(sightings, sums, strict=True):
        chances = [next(weighed)[its.which] for _ in (sighting.strip, *sighting.other_strips)]
        found.append(Table((sighting.label,), its.ways.columns, _by_strip(its.ways, chances)))
    return found


def _by_strip(ways: _Ways, chances: Sequence[Array]) -> Array:
    """For each pair of ways, the chance by the strip that holds. Where the two name different strips, nobody knows
    which holds: the mean of both is taken, in whichever order they are named."""
    if len(chances) == 1:
        return chances[0]
    own, other = ways.strip[:, None], ways.strip[None, :]
    by_one = np.choose(np.where(own > 0, own, other), chances)
    by_other = np.choose(np.where(other > 0, other, own), chances)
    return np.asarray(np.logaddexp(by_one, by_other) - np.log(2.0))


def _table_of_one_zero(together: list[CurrentSighting[Label]], faults: int) -> Table[Label]:
    """Readings of one meter that was not zeroed in between: their zero is right or wrong for all of them.

    For each possible zero the readings are independent; the chances are averaged over the zeros.
    """
    zeros, weights = _possible_zeros(together)
    log_chances = []
    columns = []
    for sighting in together:
        ways, means, variances, which = _sums_at(sighting, faults)
        strips = (sighting.strip, *sighting.other_strips)
        weighed = weigh_each(
            [
                Asked(_shifted(strip, sighting, zero), means, variances, sighting.misread)
                for zero in zeros
                for strip in strips
            ]
        )
        by_strip = [chance[which] for chance in weighed]
        per_zero = [_by_strip(ways, by_strip[n : n + len(strips)]) for n in range(0, len(by_strip), len(strips))]
        log_chances.append(np.stack(per_zero))
        columns.append(ways.columns)
    joint, rows = _joined(columns)
    labels = tuple(sighting.label for sighting in together)
    return Table(labels, joint, _over_zeros(log_chances, rows, weights))


def _over_zeros(log_chances: Sequence[Array], rows: NDArray[np.intp], weights: Array) -> Array:
    """Log chances of all readings for each pair of rows. `log_chances` are those of each reading, by zero and by the
    columns of two faults.

    Only what both rows touch has to be looked up for the pair; the rest comes from each row alone. So the work grows
    with the square of the rows, however many readings there are; it is done in pieces that fit in memory.
    """
    size, count = len(rows), len(weights)
    healthy = np.zeros((count, 1))
    alone = np.zeros((count, size))
    beyond = []
    for log_chance, column in zip(log_chances, rows.T, strict=True):
        one = log_chance[:, :, 0]
        healthy += one[:, :1]
        touching = np.flatnonzero(column)
        alone[:, touching] += (one - one[:, :1])[:, column[touching]]
        beyond.append(log_chance - one[:, :, None] - one[:, None, :] + one[:, :1, None])
    found = np.empty((size, size))
    step = max(1, _AT_ONCE // (count * size))
    for start in range(0, size, step):
        end = min(start + step, size)
        total = alone[:, start:end, None] + (alone + healthy)[:, None, start:]
        for n in np.flatnonzero(rows[start:end].any(axis=0)).tolist():
            inside = np.flatnonzero(rows[start:end, n])
            others = np.flatnonzero(rows[start:, n])
            at, other_at = rows[start + inside, n], rows[start + others, n]
            total[:, inside[:, None], others] += beyond[n][:, at[:, None], other_at]
        top = total.max(axis=0)
        total -= top
        np.exp(total, out=total)
        averaged = np.log(np.tensordot(weights, total, axes=1)) + top
        found[start:end, start:] = averaged
        found[start:, start:end] = averaged.T
    return found


def _shifted(strip: Strip, sighting: CurrentSighting[Hashable], zero: float) -> Strip:
    own = sighting.zero
    assert own is not None
    return strip._replace(lowest=strip.lowest - own.amps * zero, highest=strip.highest - own.amps * zero)


def _possible_zeros(together: Sequence[CurrentSighting[Hashable]]) -> tuple[Array, Array]:
    """Zeros in standard deviations, close enough together for the narrowest strip, with weights."""
    finest = min(
        max((s.strip.highest - s.strip.lowest) / 2.0, s.strip.blur) / abs(s.zero.amps)
        for s in together
        if s.zero is not None
    )
    count = min(max(ceil(2.0 * _ZERO_REACH / max(finest, 1e-6)), _FEWEST_ZEROS), _MOST_ZEROS) | 1
    zeros = np.linspace(-_ZERO_REACH, _ZERO_REACH, count)
    weights = np.exp(-np.square(zeros) / 2.0)
    return zeros, weights / weights.sum()


def _joined(columns: Sequence[Columns]) -> tuple[Columns, NDArray[np.intp]]:
    """One column number for each distinct combination; combination 0 leaves everything alone."""
    stacked = np.zeros((len(columns[0]) + 1, len(columns)), dtype=np.intp)
    for number, its in enumerate(columns):
        stacked[1:, number] = its
    met: dict[bytes, int] = {}
    which = np.array([met.setdefault(row.tobytes(), len(met)) for row in stacked], dtype=np.intp)
    return which[1:], stacked[np.unique(which, return_index=True)[1]]


def _table_of_state(sighting: StateSighting[Label], faults: int) -> Table[Label]:
    chances = np.array([sighting.healthy, *sighting.chances])
    columns = np.zeros(faults, dtype=np.intp)
    for fault, rank in sighting.touched.items():
        columns[fault] = rank + 1
    ranks = np.arange(len(chances))
    return Table((sighting.label,), columns, np.log(chances)[np.maximum(ranks[:, None], ranks)])


def _table_of_try(sighting: TrySighting[Label], faults: int) -> Table[Label]:
    with_all, left = _ways_of(sighting.before, faults), _ways_of(sighting.after, faults)
    joint, rows = _joined([with_all.columns, left.columns])
    before = tuple(m[np.ix_(rows[:, 0], rows[:, 0])] for m in with_all.united())
    after = tuple(m[np.ix_(rows[:, 1], rows[:, 1])] for m in left.united())
    staying = (after[0] + sighting.healthy_mean, after[1] + sighting.healthy_variance)
    going = (
        np.maximum(before[0] - after[0], 0.0).round(15) + sighting.removed_healthy_mean,
        np.maximum(before[1] - after[1], 0.0) + sighting.removed_healthy_variance,
    )
    chances = chances_of_outcomes(staying, going, sighting.outcome)
    seen = chances[OUTCOMES.index(sighting.outcome.name)]
    return Table((sighting.label,), joint, np.log(seen))
