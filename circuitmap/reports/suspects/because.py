"""How a reading bears on an explanation: the loads that the explanation brings there, or that it brings none."""

from collections.abc import Container, Iterable, Sequence

from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import nearest
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.fault_words import short_part_words
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Fuse, Relay
from circuitmap.wiring.platform import Platform

MOST_LOADS = 2


def loads_at(platform: Platform, faults: Iterable[Fault], place: str) -> list[str]:
    """What draws at a fuse under an explanation: `LIFT`, `the coil of REAR.K2`."""
    flows = [flow for fault in faults for flow in fault.brings if place in flow.way.places]
    return list(dict.fromkeys(_load(platform, flow) for flow in flows))


def flows_past(diagnosis: Diagnosis, faults: Iterable[Fault], places: Container[str]) -> list[Flow]:
    """What an explanation brings to measured places and to no measured place behind them."""
    known = diagnosis.netted.readings
    return [flow for fault in faults for flow in fault.brings if nearest(flow.way.places, known) in places]


def _load(platform: Platform, flow: Flow) -> str:
    owner = short_part_words(platform, flow.owner)
    if flow.joins_batteries:
        return f"through {owner} into the other battery"
    if isinstance(platform.parts.get(flow.owner), Relay) and flow.key.taken == "running":
        return f"what {owner} switches"
    return f"the coil of {owner}" if flow.holds_a_relay else owner


def its_loads(platform: Platform, faults: Sequence[Fault], place: str) -> str:
    """`: LIFT`, after a current; empty where there are no loads, or too many to name, or one named after the fuse."""
    named = [load for load in loads_at(platform, faults, place) if place not in load]
    return f": {joined(named)}" if 0 < len(named) <= MOST_LOADS else ""


def brings_nothing(platform: Platform, faults: Sequence[Fault], place: str) -> bool:
    """Whether nothing of an explanation passes a fuse; for other places this is never said."""
    is_fuse = isinstance(platform.parts.get(place), Fuse)
    return is_fuse and not any(place in flow.way.places for fault in faults for flow in fault.brings)
