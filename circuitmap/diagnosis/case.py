"""The readings on one car, weighed: every fault that it may have, and how likely each is by what was read."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import ODDS_OF_NOTHING
from circuitmap.diagnosis.prepared import Prepared, none_of_these, prepared_for
from circuitmap.diagnosis.seen.against_zeros import OVERLOOKED, against_zeros
from circuitmap.diagnosis.seen.all_that_flows import limits_seen, zeros_seen
from circuitmap.diagnosis.seen.both_give import both_give_seen
from circuitmap.diagnosis.seen.experience import Experience, experience_seen
from circuitmap.diagnosis.seen.fed_backwards import with_fed_backwards
from circuitmap.diagnosis.seen.figures_seen import figures_seen
from circuitmap.diagnosis.seen.finding import finds_seen
from circuitmap.diagnosis.seen.in_the_wet import wet_seen
from circuitmap.diagnosis.seen.logged_course import courses_seen
from circuitmap.diagnosis.seen.mending import mended_seen
from circuitmap.diagnosis.seen.netting import Netted, Segment, looked_again, netted
from circuitmap.diagnosis.seen.observed import EarlierJobs, Observation, Tried, order_of
from circuitmap.diagnosis.seen.observing import (
    charging_seen,
    codes_seen,
    currents_seen,
    inputs_seen,
    inputs_tested,
    lines_seen,
    looks_seen,
    relays_seen,
    replies_seen,
    switches_tested,
)
from circuitmap.diagnosis.seen.pin_volts import volts_seen
from circuitmap.diagnosis.seen.trying import WRONG_PLACE, contradicted, tries_seen
from circuitmap.diagnosis.weighing.likeliest import likeliest
from circuitmap.diagnosis.weighing.of_two import seen_of_either
from circuitmap.diagnosis.weighing.sightings import CurrentSighting, Sighting
from circuitmap.diagnosis.weighing.tables import Table, tables_alone, tables_of
from circuitmap.diagnosis.weighing.weights import Together, Weighing, weighed
from circuitmap.diagnosis.without_a_total import wrong_without_a_total
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.log_states import events_apart
from circuitmap.evidence.no_difference import with_all_in
from circuitmap.wiring.fitting import Fitting

Array = NDArray[np.float64]


class Case(NamedTuple):
    """The readings as they were weighed on one car; `apart` are, for readings that share one table, their tables each
    alone; `not_weighed` is how many faults were too many to be weighed. `something_wrong` is by the readings alone:
    other vehicles' faults say which it is, not whether this one has any, nor which of two readings was a slip."""

    ready: Prepared
    nets: Netted
    faults: tuple[Fault, ...]
    currents: list[CurrentSighting[Segment]]
    tried: list[Tried]
    tables: tuple[Table[Observation], ...]
    weighing: Weighing
    apart: list[list[Table[Observation]]]
    not_weighed: int
    doubted: Mapping[str, Tried]
    something_wrong: float


def case_of(circuit: Circuit, evidence: Evidence, fitting: Fitting, experience: Experience | None) -> Case:
    """A car as the evidence describes it, with everything that was read on it weighed."""
    ready = prepared_for(circuit, fitting, evidence)
    readings = with_all_in(circuit.platform, evidence.readings, evidence.tries, ready.tree.hangs_on)
    readings = with_fed_backwards(readings, ready.faults, ready.parked, ready.tree)
    nets = netted(
        readings, ready.tree, ready.routes, evidence.tries, ready.joins, evidence.other_state, evidence.gone
    )  # fmt: skip
    nets = looked_again(nets, (attempt.after for attempt in evidence.tries))
    faults = (*ready.faults, *none_of_these(nets, ready.tree, ready.parked))
    joint, together = _after(ready, len(faults))
    everyone = (*faults, *joint)
    others, tried = _sightings(evidence, nets, everyone, ready)
    others = seen_of_either(others, together)
    odds = np.array([fault.odds for fault in everyone])

    def by_readings() -> Array:
        read = tables_alone(currents_seen(nets, everyone, ready.parked, ready.tree), len(everyone))
        return np.asarray(odds * np.exp(sum(table.log_chance[table.columns, 0] for table in read)))

    others, tried, overlooked = against_zeros(others, tried, everyone, nets, ready.tree, by_readings)
    elsewhere = contradicted(tried, nets, ready.tree)
    doubted = elsewhere | overlooked
    currents = currents_seen(
        nets, everyone, ready.parked, ready.tree,
        dict.fromkeys(elsewhere, WRONG_PLACE), dict.fromkeys(overlooked, OVERLOOKED),
    )  # fmt: skip
    others += figures_seen(currents, circuit.platform)
    others += limits_seen(nets, everyone, ready.tree)
    others += zeros_seen(nets, everyone, ready.parked, ready.tree, doubted)
    # A fixed order, so that the order of the card changes no digit.
    sightings = sorted([*currents, *others], key=lambda sighting: order_of(sighting.label))
    if experience is not None:
        sightings += experience_seen(experience, everyone, circuit.platform)
    sightings, odds, together, left, laid = likeliest(sightings, odds, together, ready.known)
    tables = tables_of(sightings, len(everyone), ready.known, laid)
    weighing = weighed(tables, odds, odds_of_nothing=ODDS_OF_NOTHING, together=together)
    currents.sort(key=lambda sighting: order_of(sighting.label))
    apart = _apart(tables, sightings, len(everyone))
    own = tuple(table for table in tables if not any(isinstance(label, EarlierJobs) for label in table.labels))
    alone = (
        weighing if len(own) == len(tables) else weighed(own, odds, odds_of_nothing=ODDS_OF_NOTHING, together=together)
    )
    wrong = alone.something_wrong
    if not nets.totals:
        wrong = wrong_without_a_total(weighing, list(zip(tables, apart, strict=True)), sightings, nets, ready)
    return Case(ready, nets, faults, currents, tried, tables, weighing, apart, left, doubted, wrong)


def _after(ready: Prepared, start: int) -> tuple[tuple[Fault, ...], tuple[Together, ...]]:
    """Joint faults stand after all others."""
    shift = start - len(ready.faults)
    return ready.joint, tuple(Together(t.first, t.second, t.as_fault + shift) for t in ready.together)


def _sightings(
    evidence: Evidence, nets: Netted, faults: Sequence[Fault], ready: Prepared
) -> tuple[list[Sighting[Observation]], list[Tried]]:
    """Everything that was observed besides currents."""
    parked, tree = ready.parked, ready.tree
    sightings: list[Sighting[Observation]] = []
    burning = frozenset(find.place for find in evidence.found if find.sign == "burning")
    sightings += charging_seen(nets, faults, tree)
    sightings += both_give_seen(nets, faults, parked, tree)
    sightings += lines_seen(evidence.lines, faults, parked)
    sightings += replies_seen(evidence.replies, faults, parked)
    sightings += codes_seen(evidence.codes, faults, parked)
    sightings += relays_seen(evidence.relays, faults)
    sightings += inputs_seen(evidence.inputs, faults)
    sightings += volts_seen(evidence.volts, faults, parked)
    sightings += inputs_tested(evidence.tested, faults)
    sightings += switches_tested(evidence.switches, faults)
    sightings += looks_seen(evidence.looked, faults, parked.platform, burning)
    sightings += wet_seen(evidence.happens_when, faults)
    sightings += finds_seen(evidence.found, faults, parked)
    sightings += courses_seen(evidence.readings, faults, parked)
    sightings += mended_seen(evidence.mended, faults, parked)
    latest = {reading.place: reading for reading in evidence.readings if not reading.without}
    period = events_apart(evidence.readings)
    tries, tried = tries_seen(
        evidence.tries, latest, faults, parked, tree, ready.without, period
    )  # fmt: skip
    return [*sightings, *tries], tried


def _apart(
    tables: Sequence[Table[Observation]], sightings: Sequence[Sighting[Observation]], faults: int
) -> list[list[Table[Observation]]]:
    """For a table of several readings of one meter, the table of each reading by itself."""
    by_label = {sighting.label: sighting for sighting in sightings}
    several = [table.labels if len(table.labels) > 1 else () for table in tables]
    alone = iter(tables_alone([by_label[label] for labels in several for label in labels], faults))
    return [[next(alone) for _ in labels] for labels in several]


def by_label(case: Case) -> dict[Observation, Table[Observation]]:
    """The table of each observation by itself."""
    tables = [t for table, its in zip(case.tables, case.apart, strict=True) for t in (its or [table])]
    return {table.labels[0]: table for table in tables}
