"""What comes and goes in a log, and is a part's own: it wakes by its clock, as typed in. Whose it is, logs show: one
with something out in which it does not come, and one with that in again in which it does."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.logged_night import by_the_clock
from circuitmap.evidence.logs import wakes_like_that
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import PERIODS
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.platform import Platform


class OwnClock(NamedTuple):
    """In the log at `place` it rises to `peak` A every `period` minutes, as these `parts` (or networks) wake by their
    own clock. `shown_by`: what was out in a log of `without` minutes in which it did not come; empty: no logs show
    whose it is."""

    place: str
    peak: float
    period: float
    parts: tuple[str, ...]
    shown_by: tuple[str, ...] = ()
    without: float = 0.0


def own_clocks(
    platform: Platform, readings: Iterable[Reading], options: Mapping[str, bool], absent: Collection[str]
) -> tuple[OwnClock, ...]:
    """Of the latest log of the parked vehicle at each place with everything in; parts that are not fitted explain
    nothing."""
    latest = {r.place: r for r in readings if r.log is not None and r.speaks == "parked" and not r.without}
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


NO_MORE = 1.2
"""What went with something out is no more than its own clock explains up to so many times the peak (judgement)."""
LACKS = 0.5
"""A log lacks an event where its peak is not half as high over its floor (judgement)."""


def shown_by_logs(
    circuit: Circuit, evidence: Evidence, clocks: Iterable[OwnClock], readings: Sequence[Reading]
) -> tuple[OwnClock, ...]:
    """The same, with what logs show whose it is."""
    return tuple(_shown(circuit, evidence, one, readings) for one in clocks)


def _shown(circuit: Circuit, evidence: Evidence, one: OwnClock, readings: Sequence[Reading]) -> OwnClock:
    logs = [r for r in readings if r.log is not None and r.speaks == "parked" and r.place == one.place]
    last = max((n for n, r in enumerate(logs) if not r.without), default=-1)
    for reading in reversed(logs[: max(last, 0)]):
        log, out = reading.log, reading.without
        assert log is not None
        long = log.duration if log.room is None or log.duration is None else min(log.duration, log.room)
        if not out or long is None or long < PERIODS * one.period:
            continue
        rise = one.peak - (logs[last].log or log).floor
        mine = tuple(name for name in one.parts if _hangs_on(circuit, evidence, name, out))
        if log.peak - log.floor <= LACKS * rise and mine:
            return one._replace(parts=mine, shown_by=out, without=long)
    return one


def _hangs_on(circuit: Circuit, evidence: Evidence, name: str, out: Collection[str]) -> bool:
    """Whether a part, or one of a network's members, is out itself or takes its current through what is out."""
    from circuitmap.diagnosis.prepared import prepared_for

    network = circuit.platform.networks.get(name)
    its = {member.part for member in network.members} if network is not None else {name}
    flows = prepared_for(circuit, {}, evidence).parked.asleep.values()
    return not its.isdisjoint(out) or any(f.owner in its and not f.way.through.isdisjoint(out) for f in flows)


def told_by_the_clock(tries: Iterable[TryVerdict], clocks: Iterable[OwnClock]) -> tuple[TryVerdict, ...]:
    """The same verdicts; of what was out in such a log: what went with it is its own clock's, and no fault."""
    shown = {(frozenset(one.shown_by), one.place): one.peak for one in clocks if one.shown_by}

    def is_that(one: TryVerdict) -> bool:
        peak = shown.get((frozenset(one.out), one.place))
        before = one.before.amps if one.before is not None else None
        return peak is not None and (before is None or before <= NO_MORE * peak)

    return tuple(
        replace(one, verdict="own-clock", reason="", wait=None, needs=(), failed=()) if is_that(one) else one
        for one in tries
    )


def _may_be_fitted(platform: Platform, name: str, options: Mapping[str, bool]) -> bool:
    part = platform.parts.get(name)
    return part is None or holds(part.condition, dict(options)) != Answer.NO
