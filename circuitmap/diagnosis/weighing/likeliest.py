"""Which faults are weighed in pairs, where the readings tell apart more faults than can be weighed so."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Generic, NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.sightings import CurrentSighting, Label, Sighting, StateSighting
from circuitmap.diagnosis.weighing.tables import Table, tables_alone
from circuitmap.diagnosis.weighing.weights import Together

Array = NDArray[np.float64]

MOST_TOLD_APART = 1_200
"""How many faults that readings tell apart are weighed alone and in pairs (judgement: most of a million pairs, two
seconds)."""


class Likeliest(NamedTuple, Generic[Label]):
    """What is weighed: `odds` are 0 for faults that are not weighed. `left` is how many those are. `alone` is the table
    of each observation as if its meter's zero were its own, where it had to be made."""

    sightings: list[Sighting[Label]]
    odds: Array
    together: tuple[Together, ...]
    left: int
    alone: Mapping[Label, Table[Label]]


def likeliest(sightings: list[Sighting[Label]], odds: Array, together: tuple[Together, ...]) -> Likeliest[Label]:
    """All faults, or those that are likeliest on their own."""
    everyone = Likeliest(sightings, odds, together, 0, {})
    if len(odds) <= MOST_TOLD_APART or not sightings:
        return everyone
    alone = tables_alone(sightings, len(odds))
    by_label = {sighting.label: table for sighting, table in zip(sightings, alone, strict=True)}
    columns = np.stack([table.columns for table in alone], axis=1)
    met: dict[bytes, int] = {}
    kind = np.array([met.setdefault(row.tobytes(), len(met)) for row in columns], dtype=np.intp)
    if len(met) <= MOST_TOLD_APART:
        return everyone._replace(alone=by_label)
    own = odds.copy()
    for pair in together:
        own[pair.as_fault] = odds[pair.first] * odds[pair.second]
    log_chance = sum((table.log_chance[table.columns, 0] for table in alone), np.zeros(len(odds)))
    log_chance = np.round(log_chance, 9)
    weight = np.full(len(met), -np.inf)
    with np.errstate(divide="ignore"):
        np.maximum.at(weight, kind, np.round(np.log(own), 9) + log_chance)
    kept_kinds = np.zeros(len(met), dtype=bool)
    kept_kinds[np.argsort(-weight, kind="stable")[:MOST_TOLD_APART]] = True
    kept = kept_kinds[kind]
    return Likeliest(
        [_only(sighting, kept.tolist()) for sighting in sightings],
        np.where(kept, odds, 0.0),
        tuple(pair for pair in together if kept[pair.as_fault]),
        int(np.count_nonzero(~kept & (odds > 0.0))),
        by_label,
    )


def _only(sighting: Sighting[Label], kept: Sequence[bool]) -> Sighting[Label]:
    """The sighting without the faults that are not kept."""
    if isinstance(sighting, CurrentSighting):
        brought = {n: its for n, its in sighting.brought.items() if kept[n]}
        return replace(sighting, brought=brought, taken={n: k for n, k in sighting.taken.items() if kept[n]})
    if isinstance(sighting, StateSighting):
        return sighting._replace(touched={n: rank for n, rank in sighting.touched.items() if kept[n]})
    return sighting._replace(
        before={n: its for n, its in sighting.before.items() if kept[n]},
        after={n: its for n, its in sighting.after.items() if kept[n]},
    )
