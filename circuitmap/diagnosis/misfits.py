"""Readings that the best explanation can only call misread."""

from collections.abc import Mapping, Sequence

import numpy as np

from circuitmap.diagnosis.diagnosis import Misfit
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.seen.observed import Observation, Tried
from circuitmap.diagnosis.weighing.sightings import CurrentSighting
from circuitmap.diagnosis.weighing.tables import Table

BADLY = 10.0
"""A reading is a misfit when it misses what the best explanation makes of it by more decibans than this (judgement)."""


def misfits_of(
    currents: Sequence[CurrentSighting[Segment]],
    by_label: Mapping[Observation, Table[Observation]],
    doubted: Mapping[str, Tried],
    classes: Sequence[FaultClass],
) -> tuple[Misfit, ...]:
    """Current readings that the best explanation can only call misread, the worst first, and those that a try speaks
    against (`doubted`, by place)."""
    if not classes:
        return ()
    best = classes[0].members[0]
    found = []
    for sighting in currents:
        table = by_label[sighting.label]
        columns = [int(table.columns[n]) for n in best]
        chance = float(table.log_chance[columns[0], columns[1] if len(columns) > 1 else 0])
        misread = float(np.log(sighting.by_slip))
        if chance < misread + np.log(2.0):
            highest = float(table.log_chance.max())
            against = doubted.get(sighting.label.place)
            found.append(Misfit(sighting.label, round((chance - highest) * 10.0 / float(np.log(10.0)), 2), against))
    told = (m for m in found if m.decibans < -BADLY or m.against is not None)
    return tuple(sorted(told, key=lambda m: (m.decibans, m.segment.place)))
