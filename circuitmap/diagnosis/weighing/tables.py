"""From an observation to a small table: the chance of it under every pair of ways to be touched.

Most faults touch few readings, and many touch them alike. So each observation gives every fault a column (0: the fault
leaves it alone) and keeps one table of log chances, column against column, for both faults at once; against column 0
stands what one fault alone would show.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import replace
from math import ceil
from types import MappingProxyType
from typing import Any, Generic, NamedTuple, assert_never

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.branches import (
    no_less_with_more,
    no_likelier_with_another,
    or_otherwise,
    weighed_with_branches,
)
from circuitmap.diagnosis.weighing.known_tables import KnownTables
from circuitmap.diagnosis.weighing.reading_chance import Asked, weigh_each
from circuitmap.diagnosis.weighing.sightings import (
    Brought,
    CurrentSighting,
    FigureSighting,
    Label,
    LimitSighting,
    Sighting,
    StateSighting,
    TrySighting,
)
from circuitmap.diagnosis.weighing.try_chance import chances_of_a_try
from circuitmap.diagnosis.weighing.ways import Columns, WaysTouched, distinct_sums, joined, ways_of

Array = NDArray[np.float64]

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


NOTHING_LAID: Mapping[int, Any] = MappingProxyType({})


def tables_of(
    sightings: Sequence[Sighting[Label]],
    faults: int,
    known: KnownTables | None = None,
    laid: Mapping[int, Table[Label]] = NOTHING_LAID,
) -> tuple[Table[Label], ...]:
    """One table per observation; readings that share the zero of a meter come as one table. `known` are those of the
    same car that were weighed before, `laid` those of observations other than currents that are there, by identity."""
    by_meter: dict[str, list[CurrentSighting[Label]]] = {}
    currents: list[CurrentSighting[Label]] = []
    tables: list[Table[Label]] = []
    for sighting in sightings:
        if isinstance(sighting, CurrentSighting):
            zero = sighting.shared_zero
            if zero is not None:
                by_meter.setdefault(zero.meter, []).append(sighting)
            else:
                currents.append(sighting)
        else:
            tables.append(laid.get(id(sighting)) or table_beside_currents(sighting, faults))
    for together in by_meter.values():
        if len(together) == 1:
            currents.append(with_own_zero(together[0]))
        else:
            tables.append(_table_of_one_zero(together, faults))
    return (*_tables_of_currents(currents, faults, known), *tables)


def table_beside_currents(
    sighting: StateSighting[Label] | FigureSighting[Label] | LimitSighting[Label] | TrySighting[Label], faults: int
) -> Table[Label]:
    """The table of one observation that is no current by itself."""
    match sighting:
        case StateSighting():
            return _table_of_state(sighting, faults)
        case FigureSighting():
            return _table_of_figures(sighting, faults)
        case LimitSighting():
            return table_of_limit(sighting, faults)
        case TrySighting():
            columns, chance = chances_of_a_try(sighting, faults)
            return Table((sighting.label,), columns, np.log(chance))
        case _:
            assert_never(sighting)


def tables_alone(sightings: Sequence[Sighting[Label]], faults: int) -> list[Table[Label]]:
    """The table of each observation as if its meter's zero were its own."""
    few = [
        with_own_zero(sighting)
        for sighting in sightings
        if isinstance(sighting, CurrentSighting) and len(sighting.brought) <= _FEW
    ]
    weighed = {table.labels[0]: table for table in _tables_of_currents(few, faults)}
    return [_known_or_alone(sighting, weighed, faults) for sighting in sightings]


def _known_or_alone(sighting: Sighting[Label], known: Mapping[Label, Table[Label]], faults: int) -> Table[Label]:
    if sighting.label in known:
        return known[sighting.label]
    if isinstance(sighting, CurrentSighting):
        return _tables_of_currents([with_own_zero(sighting)], faults)[0]
    return tables_of((sighting,), faults)[0]


def with_own_zero(sighting: CurrentSighting[Label]) -> CurrentSighting[Label]:
    """A reading as if its meter's zero were its own."""
    if sighting.zero is None:
        return sighting
    if sighting.branches:  # what is taken off may have the same zero
        return sighting
    return replace(sighting, strip=sighting.without(0), zero=None)


class _Sums(NamedTuple):
    """What may flow at a reading: the ways to touch it, mean and variance of the distinct sums, and the index of the
    sum for each pair of ways."""

    ways: WaysTouched
    means: Array
    variances: Array
    which: NDArray[np.intp]


def _sums_at(sighting: CurrentSighting[Hashable], faults: int) -> _Sums:
    ways = ways_of(sighting.brought, faults)
    mean, variance = ways.united()
    sums = distinct_sums(mean + sighting.healthy_mean, variance + sighting.healthy_variance)
    return _Sums(ways, *sums)


def _tables_of_currents(
    sightings: Sequence[CurrentSighting[Label]], faults: int, known: KnownTables | None = None
) -> list[Table[Label]]:
    """Readings that share no zero, weighed all at once; those with branches each by itself."""
    simple = [sighting for sighting in sightings if not sighting.branches]
    before = [known.of(sighting) if known is not None else None for sighting in simple]
    new = iter(_weighed_anew([s for s, its in zip(simple, before, strict=True) if its is None], faults, known))
    found = [
        next(new) if its is None else Table((sighting.label,), its.columns(sighting, faults), its.log_chance)
        for sighting, its in zip(simple, before, strict=True)
    ]
    for sighting in sightings:
        if sighting.branches:
            ways = ways_of(sighting.brought, faults, sighting.taken, sighting.slips)
            found.append(Table((sighting.label,), ways.columns, weighed_with_branches(sighting, ways, (None,))[0]))
    return found


def _weighed_anew(
    simple: Sequence[CurrentSighting[Label]], faults: int, known: KnownTables | None
) -> list[Table[Label]]:
    sums = [_sums_at(sighting, faults) for sighting in simple]
    asked = [
        Asked(sighting.strip, its.means, its.variances, sighting.misread, least=sighting.elsewhere)
        for sighting, its in zip(simple, sums, strict=True)
    ]
    found = []
    for sighting, its, chances in zip(simple, sums, weigh_each(asked), strict=True):
        each = no_less_with_more(chances[its.which], sighting.strip, sighting)[None]
        log_chance = or_otherwise(no_likelier_with_another(each, its.ways, sighting, (None,))[0], its.ways)
        found.append(Table((sighting.label,), its.ways.columns, log_chance))
        if known is not None:
            known.keep(sighting, its.ways.columns, log_chance)
    return found


def log_chances_as_if_shown(sighting: CurrentSighting[Hashable], more: Sequence[float], faults: int) -> list[Array]:
    """The log chances for each pair of ways if so much `more` had been shown at a place with no branches, in A."""
    sums = _sums_at(sighting, faults)
    own = sighting.strip
    strips = [own._replace(lowest=own.lowest + amps, highest=own.highest + amps) for amps in more]
    rest = (sums.means, sums.variances, sighting.misread)
    weighed = weigh_each([Asked(strip, *rest, least=sighting.elsewhere) for strip in strips])
    return [
        or_otherwise(no_less_with_more(chances[sums.which], strip, sighting), sums.ways)
        for chances, strip in zip(weighed, strips, strict=True)
    ]


def _table_of_one_zero(together: list[CurrentSighting[Label]], faults: int) -> Table[Label]:
    """Readings of one meter that was not zeroed in between: their zero is right or wrong for all of them.

    For each possible zero the readings are independent; the chances are averaged over the zeros.
    """
    zeros, weights = _possible_zeros(together)
    log_chances = []
    columns = []
    known: dict[tuple[Hashable, ...], Array] = {}  # thousands of fuses may show the same, for the same reasons
    for sighting in together:
        if sighting.branches:
            its_ways = ways_of(sighting.brought, faults, sighting.taken, sighting.slips)
            log_chances.append(weighed_with_branches(sighting, its_ways, zeros.tolist()))
            columns.append(its_ways.columns)
            continue
        sums = _sums_at(sighting, faults)
        amounts = tuple(
            its.tobytes() for its in (sums.means, sums.variances, sums.which, sums.ways.nothing, sums.ways.then)
        )
        like = (*amounts, sighting.strip, sighting.zero, sighting.misread, sighting.elsewhere, sighting.healthy(0))
        if like not in known:
            known[like] = _with_each_zero(sighting, sums, zeros.tolist())
        log_chances.append(known[like])
        columns.append(sums.ways.columns)
    joint, rows = joined(columns)
    labels = tuple(sighting.label for sighting in together)
    return Table(labels, joint, _over_zeros(log_chances, rows, weights))


def _with_each_zero(sighting: CurrentSighting[Hashable], sums: _Sums, zeros: Sequence[float]) -> Array:
    """Log chances of a reading for each zero of the meter and each pair of ways."""
    strips = [sighting.without(0, zero) for zero in zeros]
    rest = (sums.means, sums.variances, sighting.misread, sighting.strip, sighting.elsewhere)
    weighed = weigh_each([Asked(strip, *rest) for strip in strips])
    found = np.stack([no_less_with_more(c[sums.which], s, sighting) for c, s in zip(weighed, strips, strict=True)])
    return or_otherwise(no_likelier_with_another(found, sums.ways, sighting, zeros), sums.ways)


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


def _table_of_state(sighting: StateSighting[Label], faults: int) -> Table[Label]:
    chances = np.array([sighting.healthy, *sighting.chances])
    columns = np.zeros(faults, dtype=np.intp)
    for fault, rank in sighting.touched.items():
        columns[fault] = rank + 1
    ranks = np.arange(len(chances))
    return Table((sighting.label,), columns, np.log(chances)[np.maximum(ranks[:, None], ranks)])


_FOR_A_STATE, _UNKNOWN = 1.0, 1e6
_TAKES_LESS, _TAKES_LESS_FOR_A_STATE, _MOST_BEYOND = 0.30, 0.45, 4.0
"""How far below its printed figure a thing commonly takes (standard deviation of the logarithm), and how much of the
natural logarithm of the chance that can cost at most. A figure may be another vehicle's or that of another state, so
nothing is excluded (judgement; on simulated vehicles narrower ones made the answer surer than it was right)."""


def _table_of_figures(sighting: FigureSighting[Label], faults: int) -> Table[Label]:
    """How far each figure can be trusted is counted beside it, so that of two together the less trusted one tells; so
    is how far below and above it the range goes that it stands for."""
    trust = {"exact": 0.0, "state": _FOR_A_STATE, "unknown": _UNKNOWN}
    known: dict[int, tuple[tuple[Brought, ...], tuple[Brought, ...]]] = {}
    for figures in sighting.figures.values():
        if id(figures) not in known:
            known[id(figures)] = (
                tuple(Brought(its.key, its.amps, trust[its.trust]) for its in figures),
                tuple(Brought(its.key, its.below, its.above) for its in figures),
            )
    ways, ends = (
        ways_of({number: known[id(its)][n] for number, its in sighting.figures.items()}, faults) for n in (0, 1)
    )
    columns, rows = joined([ways.columns, ends.columns])
    amps, doubt = (its[np.ix_(rows[:, 0], rows[:, 0])] for its in ways.united())
    below, above = (its[np.ix_(rows[:, 1], rows[:, 1])] for its in ends.united())
    missing = sighting.amps - sighting.healthy - amps
    met = (missing >= -below - sighting.off) & (missing <= above + sighting.off)
    exact_met, exact_missed, state_met, state_missed, held = sighting.factors
    is_range = below + above > 2.0 * sighting.off
    exact = np.where(met, np.where(is_range, held, exact_met), exact_missed)
    for_a_state = np.where(met, np.where(is_range, held, state_met), state_missed)
    chance = np.where(doubt >= _FOR_A_STATE / 2.0, for_a_state, exact)
    chance = np.where((doubt >= _UNKNOWN / 2.0) | (amps <= 0.0), 1.0, chance)
    return Table((sighting.label,), columns, np.log(chance))


def table_of_limit(sighting: LimitSighting[Label], faults: int) -> Table[Label]:
    """How much of the figures may be of one state of several is counted beside them."""
    brought: dict[int, tuple[Brought, ...]] = {}
    known: dict[int, tuple[Brought, ...]] = {}
    for number, figures in sighting.figures.items():
        if id(figures) not in known:
            known[id(figures)] = tuple(
                Brought(its.key, its.amps, 0.0 if its.trust == "exact" else its.amps) for its in figures
            )
        brought[number] = known[id(figures)]
    ways = ways_of(brought, faults)
    amps, for_a_state = ways.united()
    with np.errstate(divide="ignore"):
        beyond = np.maximum(np.log(amps / sighting.most), 0.0)
    share = np.divide(for_a_state, amps, out=np.zeros_like(amps), where=amps > 0.0)
    below = _TAKES_LESS * (1.0 - share) + _TAKES_LESS_FOR_A_STATE * share
    return Table((sighting.label,), ways.columns, -np.minimum(np.square(beyond / below) / 2.0, _MOST_BEYOND))
