"""Which faults are weighed in pairs, where the readings tell apart more faults than can be weighed so."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Generic, NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.branches import weighed_alone
from circuitmap.diagnosis.weighing.known_tables import KnownTables
from circuitmap.diagnosis.weighing.sightings import (
    CurrentSighting,
    FigureSighting,
    Label,
    LimitSighting,
    Sighting,
    StateSighting,
)
from circuitmap.diagnosis.weighing.tables import NOTHING_LAID, Table, table_beside_currents, with_own_zero
from circuitmap.diagnosis.weighing.ways import Columns, WaysTouched, numbers_of_rows, ways_of
from circuitmap.diagnosis.weighing.weights import Together

Array = NDArray[np.float64]

MOST_TOLD_APART = 1_200
"""How many faults that readings tell apart are weighed alone and in pairs (judgement: most of a million pairs, two
seconds)."""
MOST_WITH_A_ZERO = 300
"""The same where readings share the zero of a meter, which may be one of dozens: each pair is weighed with each."""


class Likeliest(NamedTuple, Generic[Label]):
    """What is weighed: `odds` are 0 for faults that are not weighed. `left` is how many those are. `laid` are the
    tables of observations other than currents that had to be laid out for it, by identity."""

    sightings: list[Sighting[Label]]
    odds: Array
    together: tuple[Together, ...]
    left: int
    laid: Mapping[int, Table[Label]]


def likeliest(
    sightings: list[Sighting[Label]], odds: Array, together: tuple[Together, ...], known: KnownTables | None = None
) -> Likeliest[Label]:
    """All faults, or those that are likeliest on their own. `known` are readings that were weighed before."""
    a_zero = any(isinstance(its, CurrentSighting) and its.shared_zero is not None for its in sightings)
    most = min(MOST_WITH_A_ZERO, MOST_TOLD_APART) if a_zero else MOST_TOLD_APART
    if len(odds) <= most or not sightings:
        return Likeliest(sightings, odds, together, 0, NOTHING_LAID)
    laid = {
        id(its): table_beside_currents(its, len(odds)) for its in sightings if not isinstance(its, CurrentSighting)
    }  # fmt: skip
    currents = {id(its): _Alone(its, len(odds), known) for its in sightings if isinstance(its, CurrentSighting)}
    columns = np.stack([(currents.get(id(its)) or laid[id(its)]).columns for its in sightings], axis=1)
    kind = numbers_of_rows(columns)
    kinds = int(kind.max()) + 1
    if kinds <= most:
        return Likeliest(sightings, odds, together, 0, laid)
    alone = [
        currents[id(its)].with_chances() if isinstance(its, CurrentSighting)
        else (laid[id(its)].columns, laid[id(its)].log_chance[:, 0])
        for its in sightings
    ]  # fmt: skip
    own = odds.copy()
    for pair in together:
        own[pair.as_fault] = odds[pair.first] * odds[pair.second]
    log_chance = sum((chances[its] for its, chances in alone), np.zeros(len(odds)))
    log_chance = np.round(log_chance, 9)
    weight = np.full(kinds, -np.inf)
    with np.errstate(divide="ignore"):
        np.maximum.at(weight, kind, np.round(np.log(own), 9) + log_chance)
    kept_kinds = np.zeros(kinds, dtype=bool)
    kept_kinds[np.argsort(-weight, kind="stable")[:most]] = True
    kept = kept_kinds[kind]
    return Likeliest(
        [_only(sighting, kept.tolist()) for sighting in sightings],
        np.where(kept, odds, 0.0),
        tuple(pair for pair in together if kept[pair.as_fault]),
        int(np.count_nonzero(~kept & (odds > 0.0))),
        NOTHING_LAID,
    )


class _Alone(Generic[Label]):
    """The way in which each fault touches a reading, and once somebody asks the log chance of each way by itself; as it
    was worked out when it was last weighed, if it was."""

    def __init__(self, sighting: CurrentSighting[Label], faults: int, known: KnownTables | None) -> None:
        self.sighting, self.faults, self.known = sighting, faults, known
        self._ways: WaysTouched | None = None
        before = known.alone(sighting, faults) if known is not None else None
        self._log_chance = before[1] if before is not None else None
        table = known.of(sighting) if known is not None and before is None else None
        if before is not None:
            self.columns = before[0]
        elif table is not None:
            self.columns = table.columns(sighting, faults)
        else:
            self._ways = ways_of(sighting.brought, faults, sighting.taken, sighting.slips)
            self.columns = self._ways.columns

    def with_chances(self) -> tuple[Columns, Array]:
        if self._log_chance is None:
            its = self.sighting
            ways = self._ways or ways_of(its.brought, self.faults, its.taken, its.slips)
            self.columns, self._log_chance = ways.columns, weighed_alone(with_own_zero(its), ways)
            if self.known is not None:
                self.known.keep_alone(self.sighting, self.columns, self._log_chance)
        return self.columns, self._log_chance


def _only(sighting: Sighting[Label], kept: Sequence[bool]) -> Sighting[Label]:
    """The sighting without the faults that are not kept."""
    if isinstance(sighting, CurrentSighting):
        brought = {n: its for n, its in sighting.brought.items() if kept[n]}
        taken = {n: its for n, its in sighting.taken.items() if kept[n]}
        slips = {n: its for n, its in sighting.slips.items() if kept[n]}
        return replace(sighting, brought=brought, taken=taken, slips=slips)
    if isinstance(sighting, StateSighting):
        return sighting._replace(touched={n: rank for n, rank in sighting.touched.items() if kept[n]})
    if isinstance(sighting, FigureSighting | LimitSighting):
        return sighting._replace(figures={n: its for n, its in sighting.figures.items() if kept[n]})
    return sighting._replace(
        before={n: its for n, its in sighting.before.items() if kept[n]},
        after={n: its for n, its in sighting.after.items() if kept[n]},
    )
