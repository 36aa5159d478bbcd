"""A battery that takes over what another one gave: with a part out one gives that much less, and the other that much
more. What hangs there went on, and only changed its battery: what was out joined the two."""

from collections.abc import Container, Mapping, Sequence

from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.diagnosis.seen.observing import JOINS
from circuitmap.diagnosis.weighing.outcomes import WANDERS
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import LEAST_PART, Try, has_fallen, least_seen

TAKES_OVER = "took over"
"""The outcome of a try at the battery that gives more than before."""


def taken_over(tries: Sequence[Try], latest: Mapping[str, Reading], tree: PlaceTree) -> frozenset[int]:
    """The tries, by number, in which a battery gave more with something out, and just that much less came from another
    one. `latest` are readings with everything in."""
    changes = []
    for number, one in enumerate(tries):
        before = one.before or latest.get(one.after.place)
        if tree.is_battery(one.after.place) and before is not None and None not in (before.amps, one.after.amps):
            changes.append((number, one, before))
    return frozenset(
        number
        for number, one, before in changes
        if has_fallen(one.after, before, LEAST_PART)
        and any(
            set(other.out) == set(one.out)
            and other.after.place != one.after.place
            and has_fallen(theirs, other.after, LEAST_PART)
            and _as_much(before, one.after, theirs, other.after)
            for _, other, theirs in changes
        )
    )


def _as_much(before: Reading, after: Reading, theirs: Reading, theirs_after: Reading) -> bool:
    """Whether one battery gives as much more as the other gives less."""
    all_of_them = (before, after, theirs, theirs_after)
    off = (
        least_seen(before, after) + least_seen(theirs, theirs_after) + WANDERS * sum(r.amps or 0.0 for r in all_of_them)
    )
    more = (after.amps or 0.0) - (before.amps or 0.0)
    less = (theirs.amps or 0.0) - (theirs_after.amps or 0.0)
    return abs(more - less) <= min(off, more / 2.0)


def joined_by(tried: Tried, faults: Sequence[Fault], out: Container[str]) -> StateSighting[Tried]:
    """That what is out joined two batteries, by what one of them took over."""
    joins = {
        number: 0
        for number, fault in enumerate(faults)
        if any(flow.joins_batteries and any(name in out for name in flow.way.through) for flow in fault.brings)
    }
    return StateSighting(tried, 1.0 - JOINS, (JOINS,), joins)
