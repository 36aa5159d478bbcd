"""Readings that the best explanation can only call misread."""

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.diagnosis import Misfit
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.seen.observed import Observation, Tried
from circuitmap.diagnosis.weighing.of_two import as_weighed
from circuitmap.diagnosis.weighing.sightings import CurrentSighting
from circuitmap.diagnosis.weighing.tables import Table
from circuitmap.diagnosis.weighing.weights import Together

BADLY = 10.0
"""A reading is a misfit when it misses what the best explanation makes of it by more decibans than this (judgement)."""


def misfits_of(
    currents: Sequence[CurrentSighting[Segment]],
    by_label: Mapping[Observation, Table[Observation]],
    doubted: Mapping[str, Tried],
    classes: Sequence[FaultClass],
    faults: Sequence[Fault],
    together: Sequence[Together],
) -> tuple[Misfit, ...]:
    """Current readings that the best explanation can only call misread, the worst first, and those that a try speaks
    against (`doubted`, by place). Where it explains everything else, a zero that only an assumed current speaks against
    is none of them: that figure is a weaker thing than a reading."""
    if not classes:
        return ()
    best = classes[0].members[0]
    missed = _missed(currents, by_label, as_weighed(best, together))
    told = [
        Misfit(label, decibans, doubted.get(label.place))
        for label, decibans in missed
        if decibans < -BADLY or label.place in doubted
    ]
    if all(misfit.against is None for misfit in told):
        believed = zeros_believed(currents, by_label, faults, best)
        told = [misfit for misfit in told if misfit.segment.place not in believed]
    return tuple(sorted(told, key=lambda m: (m.decibans, m.segment.place)))


def zeros_believed(
    currents: Sequence[CurrentSighting[Segment]],
    by_label: Mapping[Observation, Table[Observation]],
    faults: Sequence[Fault],
    numbers: Sequence[int],
) -> frozenset[str]:
    """The places read to show nothing to which these faults, by number, bring only assumed currents, where they
    explain all else that was read."""
    guessed = _zeros_by_guess(currents, faults, numbers)
    missed = {label.place for label, decibans in _missed(currents, by_label, numbers) if decibans < -BADLY}
    return guessed if missed <= guessed else frozenset()


def _missed(
    currents: Sequence[CurrentSighting[Segment]],
    by_label: Mapping[Observation, Table[Observation]],
    numbers: Sequence[int],
) -> list[tuple[Segment, float]]:
    """The readings that these faults can only call misread, and by how many decibans they miss them."""
    found = []
    for sighting in currents:
        table = by_label[sighting.label]
        columns = [int(table.columns[n]) for n in numbers]
        chance = float(table.log_chance[columns[0], columns[1] if len(columns) > 1 else 0])
        if chance < float(np.log(sighting.by_slip)) + np.log(2.0):
            highest = float(table.log_chance.max())
            found.append((sighting.label, round((chance - highest) * 10.0 / float(np.log(10.0)), 2)))
    return found


def _zeros_by_guess(
    currents: Sequence[CurrentSighting[Segment]], faults: Sequence[Fault], numbers: Sequence[int]
) -> frozenset[str]:
    """The places that were read to show nothing and to which these faults, by number, bring no current of a size that
    is typed in: only such as is assumed by kind, or a part's share at one of its supply pins. Where all its pins show
    nothing it is no matter of shares."""
    found: dict[str, list[Flow]] = {}
    for sighting in currents if numbers else ():
        keys = {its.key for n in numbers for its in sighting.brought.get(n, ())}
        left = sighting.label.strip  # of what has branches that is what is left over, and its reading is no zero
        if keys and left.lowest <= 0.0 and sighting.strip.lowest <= left.highest:
            flows = {f.key: f for n in numbers for f in faults[n].brings if keys & {f.key, f.key._replace(pin="")}}
            found[sighting.label.place] = list(flows.values())
    shares = Counter((f.owner, f.key.taken) for flows in found.values() for f in flows if not f.assumed)
    return frozenset(
        place
        for place, flows in found.items()
        if flows and all(_is_guess(flow, shares[flow.owner, flow.key.taken]) for flow in flows)
    )


def _is_guess(flow: Flow, at_zeros: int) -> bool:
    """Whether how much of a part's current flows there is not typed in; `at_zeros` of its supply pins show nothing.
    What is a fault's own, or flows between batteries, has no other size than what is read."""
    return flow.key.taken not in ("own", "between") and (flow.assumed or at_zeros < flow.pins)
