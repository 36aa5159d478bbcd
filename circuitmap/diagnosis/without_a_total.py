"""Whether something is wrong, where nobody read how much flows in all."""

from collections.abc import Sequence
from dataclasses import replace

from circuitmap.diagnosis.prepared import Prepared
from circuitmap.diagnosis.seen.netting import Netted, Segment
from circuitmap.diagnosis.seen.observed import AllThatFlows, EarlierJobs, FigureAt, Observation
from circuitmap.diagnosis.seen.trying import normal_up_to
from circuitmap.diagnosis.weighing.no_less_wrong import AboveNormal, surest_with_less
from circuitmap.diagnosis.weighing.sightings import CurrentSighting, Sighting
from circuitmap.diagnosis.weighing.tables import Table, tables_of
from circuitmap.diagnosis.weighing.weights import Weighing


def wrong_without_a_total(
    weighing: Weighing,
    tables: Sequence[tuple[Table[Observation], Sequence[Table[Observation]]]],
    sightings: Sequence[Sighting[Observation]],
    nets: Netted,
    ready: Prepared,
) -> float:
    """The chance that something is wrong: no lower than with less current at any place that shows more than normal.
    `tables` are those of `weighing`, each with those of its readings alone, where several share one. What is printed
    tells faults apart, and what other vehicles had; neither says whether something is wrong."""
    counted = [its for its in tables if not isinstance(its[0].labels[0], FigureAt | AllThatFlows | EarlierJobs)]
    found = weighing.with_tables([table for table, _ in counted])
    above = _above_normal(sightings, nets, ready)
    if not any(alone for _, alone in counted):
        return max(found.something_wrong, surest_with_less(found, above).weighing.something_wrong)
    # Readings that share a zero: which currents are compared is found as if they did not.
    each = weighing.with_tables([one for table, alone in counted for one in alone or (table,)])
    less = surest_with_less(each, above).less
    instead: dict[Observation, CurrentSighting[Observation]] = {
        one.sighting.label: _with_less(one.sighting, its) for one, its in zip(above, less, strict=True) if its
    }
    read = [instead.get(its.label, its) for its in sightings if isinstance(its, CurrentSighting)]
    others = [table for table, _ in counted if not isinstance(table.labels[0], Segment)]
    other = weighing.with_tables([*tables_of(read, len(weighing.odds)), *others])
    return max(found.something_wrong, other.something_wrong)


def _with_less(sighting: CurrentSighting[Observation], less: float) -> CurrentSighting[Observation]:
    strip = sighting.strip
    return replace(sighting, strip=strip._replace(lowest=strip.lowest + less, highest=strip.highest + less))


def _above_normal(
    sightings: Sequence[Sighting[Observation]], nets: Netted, ready: Prepared
) -> list[AboveNormal[Observation]]:
    """The readings that show more than normal; not those that are checked by one of what feeds them."""
    behind = {name for place in nets.readings for name in nets.branches_of(place)}
    found: list[AboveNormal[Observation]] = []
    for sighting in sightings:
        segment = sighting.label
        if not isinstance(sighting, CurrentSighting) or not isinstance(segment, Segment):
            continue
        if sighting.branches or segment.amps is None or segment.place in behind:
            continue
        normal = normal_up_to(ready.parked, ready.tree, segment.place)
        if segment.readings[0].shows_current and segment.amps > normal:
            found.append(AboveNormal(sighting, segment.amps, normal))
    return found
