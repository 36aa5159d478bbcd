"""What comes and goes in a log, and is a part's own: it wakes by its clock, as typed in."""

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

from circuitmap.evidence.logged_night import by_the_clock
from circuitmap.evidence.logs import wakes_like_that
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.platform import Platform


class OwnClock(NamedTuple):
    """In the log at `place` it rises to `peak` A every `period` minutes, as these `parts` (or networks) wake by their
    own clock."""

    place: str
    peak: float
    period: float
    parts: tuple[str, ...]


def own_clocks(
    platform: Platform, readings: Iterable[Reading], options: Mapping[str, bool], absent: Collection[str]
) -> tuple[OwnClock, ...]:
    """Of the latest log of the parked vehicle at each place; parts that are not fitted explain nothing."""
    latest = {r.place: r for r in readings if r.log is not None and r.speaks == "parked"}
    found = []
    for reading in latest.values():
        log = reading.log
        assert log is not None
        its = [(log.peak, log.period, wakes_like_that(platform, log))]
        its += [(log.floor + kind.amps, kind.period, by_the_clock(platform, kind)) for kind in log.sound]
        for peak, period, names in its:
            fitted = tuple(name for name in names if name not in absent and _may_be_fitted(platform, name, options))
            if period is not None and fitted:
                found.append(OwnClock(reading.place, peak, period, fitted))
    return tuple(found)


def _may_be_fitted(platform: Platform, name: str, options: Mapping[str, bool]) -> bool:
    part = platform.parts.get(name)
    return part is None or holds(part.condition, dict(options)) != Answer.NO
