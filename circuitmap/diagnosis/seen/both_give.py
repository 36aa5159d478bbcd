"""Two batteries that both give: what only joins them takes nothing, and explains no draw of both.

What one gives over a closed contact the other one takes, and then gives that much less. So both together give what is
consumed, whichever way it crosses.
"""

from collections.abc import Sequence
from math import hypot

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.observed import BothGive
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.readings import Reading

NOTHING_TAKES = 0.02
"""Chance that both batteries give what nothing takes: a slip of one of the readings, or batteries whose charge evens
out in an unusual way (judgement)."""
LEAST_TAKEN = 0.05
"""Amperes that both give beyond what sleeps and the meters' errors, from which on something takes them (judgement)."""

PART_OF_IT = 0.5
"""A held coil that takes less than this share of what both give is not what consumes it (judgement)."""


def both_give_seen(
    nets: Netted, faults: Sequence[Fault], parked: Parked, tree: PlaceTree
) -> list[StateSighting[BothGive]]:
    """That several batteries give more than sleeps there, where some fault only joins them.
    A second fault that takes something makes up for it."""
    giving = [r for r in nets.totals if tree.is_battery(r.place) and _beyond(r, parked, tree) > LEAST_TAKEN]
    places = tuple(sorted(reading.place for reading in giving))
    if len(places) < 2:
        return []
    wanted = PART_OF_IT * sum(_beyond(reading, parked, tree) for reading in giving)
    touched: dict[int, int] = {}
    for number, fault in enumerate(faults):
        its = [(flow, set(tree.way_places(flow.way.places))) for flow in fault.brings]
        takes = [flow for flow, way in its if not flow.joins_batteries and not way.isdisjoint(places)]
        coils = sum(flow.mean for flow in takes if flow.holds_a_relay)
        if coils >= wanted or any(not flow.holds_a_relay for flow in takes):
            touched[number] = 1
        elif len({place for flow, way in its if flow.joins_batteries for place in way.intersection(places)}) > 1:
            touched[number] = 0
    if 0 not in touched.values():
        return []
    amps = sum(reading.amps or 0.0 for reading in giving)
    return [StateSighting(BothGive(places, round(amps, 4)), 1.0, (NOTHING_TAKES, 1.0), touched)]


def _beyond(reading: Reading, parked: Parked, tree: PlaceTree) -> float:
    """How much more a battery gives than all that sleeps on it, the meter's errors left out, in A."""
    amps = reading.amps or 0.0
    asleep = sum(f.mean for f in parked.asleep.values() if reading.place in tree.way_places(f.way.places))
    return amps - asleep - reading.half_step - 2.0 * hypot(reading.zero, reading.relative * amps)
