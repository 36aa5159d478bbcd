"""What a verdict rests on that nobody saw: a load that was switched on and is taken to run, behind which a draw as
large would hide."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import has_fallen
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.limits import Limits

SHOWS_THAT_IT_RUNS = ("burning", "warm")


class RestsOn(NamedTuple):
    """At `battery` a current counts as normal because `load` runs, by the card, since `switch` is at on; it takes
    `amps` A then."""

    battery: str
    switch: str
    position: str
    load: str
    amps: float


def rests_on(limits: Limits, evidence: Evidence, readings: Iterable[Reading]) -> tuple[RestsOn, ...]:
    """Of the latest reading at each battery (`readings`), what must run for it to be normal, and was neither seen
    running, nor switched off to see the current fall."""
    stands = dict(limits.stands)
    seen = {one.place.partition(".")[0] for one in evidence.found if one.sign in SHOWS_THAT_IT_RUNS}
    found: dict[RestsOn, None] = {}
    for reading in readings:
        battery = battery_read_at(limits.platform, reading.place)
        known = limits.known.get(battery)
        if known is None or reading.amps is None or not limits.own < reading.amps <= known.at_most:
            continue
        takes: Mapping[str, float] = dict(known.parts)
        for one in limits.running:
            without = known.amps - takes.get(one.load, 0.0)
            if (
                one.load not in takes
                or reading.amps <= max(limits.own, without)
                or not seen.isdisjoint((one.load, one.module))
            ):
                continue
            if not _was_turned_off(evidence, battery, {one.switch, one.module, one.load}, limits):
                found[RestsOn(battery, one.switch, stands.get(one.switch, ""), one.load, takes[one.load])] = None
    return tuple(found)


def _was_turned_off(evidence: Evidence, battery: str, names: set[str], limits: Limits) -> bool:
    """Whether it was out, or off, by itself, and the current fell."""
    return any(
        names.issuperset(one.out)
        and battery_read_at(limits.platform, one.after.place) == battery
        and has_fallen(one.before, one.after)
        for one in evidence.tries
    )
