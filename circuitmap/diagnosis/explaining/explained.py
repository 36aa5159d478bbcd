"""How much of what was read an explanation accounts for, where it is typed in what its parts take."""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.weighing.sightings import CurrentSighting

PARTLY = 1.4
"""This many times what is typed in, beyond any error of the meters, is more than the part takes (judgement)."""


class Shortfall(NamedTuple):
    """At a place where `amps` were read, an explanation brings `explained` A by what is typed in."""

    place: str
    amps: float
    explained: float


def shortfalls(
    sightings: Sequence[CurrentSighting[Segment]], faults: Sequence[Fault], numbers: Sequence[int]
) -> tuple[Shortfall, ...]:
    """The places at which more was read than these faults bring, going by what is typed in of their parts."""
    assumed = {flow.key for number in numbers for flow in faults[number].brings if flow.assumed}
    owners = {owner for owner, *_ in assumed}
    found = []
    for sighting in sightings:
        segment = sighting.label
        brought = {b.key: b.mean for n in numbers for b in sighting.brought.get(n, ())}
        if not brought or segment.amps is None or any(_owner(key) in owners for key in brought):
            continue
        explained = sum(brought.values()) + sighting.healthy_mean
        if segment.amps - segment.error > PARTLY * explained:
            found.append(Shortfall(segment.place, segment.amps, explained))
    return tuple(found)


def _owner(key: object) -> object:
    return key[0] if isinstance(key, tuple) else key
