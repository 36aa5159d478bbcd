"""What is out, or was turned, and left so, while somebody reads on: that is the vehicle whose readings are looked at.

A refrigerator's switch that was turned off, or a fuse whose share is found and that stays out, changes what all later
readings are of. They speak of the vehicle as it stands now; what was read before is of another one, but for places that
showed nothing: with less on they show no more.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple, TypeVar

from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of

_Told = TypeVar("_Told", NetworkLine, PinVolts)


class LeftSo(NamedTuple):
    """The `evidence` of the vehicle as it stands now. `out` is what is left so, of it `turned` the switches, each with
    its position; `tries` are those with just that out. All are empty where nothing is left so."""

    evidence: Evidence
    out: tuple[str, ...] = ()
    turned: tuple[tuple[str, str], ...] = ()
    tries: tuple[Try, ...] = ()

    @property
    def went(self) -> Try | None:
        """Of its tries the one in which most went, of those at a place that was read before it, too."""
        fell = [(one.before.amps - one.after.amps, one) for one in self.tries
                if one.before is not None and one.before.amps is not None and one.after.amps is not None]  # fmt: skip
        return max(fell, key=lambda its: its[0])[1] if fell else None


def left_so(platform: Platform, evidence: Evidence) -> LeftSo:
    """The vehicle as it stands now, where something is left so and the draw goes on without it."""
    readings = [r for r in evidence.readings if r.speaks == "parked"]
    sets = list(dict.fromkeys(frozenset(r.without) for r in readings if r.without))
    for out in reversed([its for its in sets if its <= set(evidence.out)]):
        if _is_read_on(platform, evidence, readings, out):
            return _as_it_stands(platform, evidence, out)
    return LeftSo(evidence)


def as_turned(platform: Platform, evidence: Evidence) -> Evidence:
    """The same, of switches alone of which the card says how they stood: what they fed on purpose is no part of what is
    looked for once they are turned off, or out, whatever is left then."""
    out = frozenset(evidence.positions.keys() & set(evidence.out))
    if not out or not any(out <= set(reading.without) for reading in evidence.readings):
        return evidence
    return _as_it_stands(platform, evidence, out).evidence


def _too_much(platform: Platform, readings: Iterable[Reading]) -> bool:
    at_posts = [r for r in readings if battery_read_at(platform, r.place)]
    limit = limit_of(platform)
    return any(r.amps is not None and r.amps - r.half_step > limit + 2.0 * r.zero for r in at_posts)


def _is_read_on(platform: Platform, evidence: Evidence, readings: Sequence[Reading], out: frozenset[str]) -> bool:
    """Whether more than a sound vehicle takes goes on with this out, and somebody goes on reading it: at places that
    were not read before, or with a switch turned of which the card says that it stood otherwise."""
    with_it = [r for r in readings if set(r.without) == out]
    if not _too_much(platform, with_it):
        return False
    if out <= _turned(evidence, out).keys() & evidence.positions.keys():
        return True
    before = {r.place for r in readings if not r.without}
    return any(r.place not in before and not battery_read_at(platform, r.place) for r in with_it)


def _as_it_stands(platform: Platform, evidence: Evidence, out: frozenset[str]) -> LeftSo:
    its = tuple(one for one in evidence.tries if set(one.out) == out)
    if its and not any(one.fell or one.took_a_part for one in its):
        return LeftSo(_as_before(evidence, out))
    turned = _turned(evidence, out)
    posts = {r.place for r in evidence.readings if set(r.without) == out and battery_read_at(platform, r.place)}
    told = [(reading, _now(platform, reading, out, posts)) for reading in evidence.readings]
    absent = [name for name in evidence.out if name in out and name not in turned]
    added = {part.name for part in evidence.added}
    now = replace(
        evidence, readings=tuple(reading for _, reading in told if reading is not None),
        other_state=(*evidence.other_state, *(reading for reading, now in told if now is None)),
        tries=tuple(_tries(evidence, out, told)), out=_less(evidence.out, out),
        positions={**{n: at for n, at in evidence.positions.items() if n not in absent}, **turned},
        absent=tuple(dict.fromkeys((*evidence.absent, *(name for name in absent if name not in added)))),
        added=tuple(part for part in evidence.added if part.name not in absent),
        lines=tuple(_so(evidence.lines, out)), volts=tuple(_so(evidence.volts, out)),
    )  # fmt: skip
    return LeftSo(now, tuple(name for name in evidence.out if name in out), tuple(turned.items()), its)


def _turned(evidence: Evidence, out: Collection[str]) -> dict[str, str]:
    """Those of what is out that are switches and were turned, each with its position."""
    told = dict(at for one in evidence.tries for at in one.turned)
    return {name: at for name, at in {**evidence.turned, **told}.items() if name in out}


def _as_before(evidence: Evidence, out: frozenset[str]) -> Evidence:
    """The evidence where what is out made no difference: what is read with it out is as it was with it in."""
    readings = tuple(
        replace(r, without=_less(r.without, out)) if out <= set(r.without) else r for r in evidence.readings
    )  # fmt: skip
    return replace(
        evidence, readings=readings, lines=tuple(_so(evidence.lines, out)), volts=tuple(_so(evidence.volts, out))
    )


def _now(platform: Platform, reading: Reading, out: frozenset[str], posts: Collection[str]) -> Reading | None:
    """What a reading says of the vehicle as it stands; None where it is of another state. `posts` are the batteries
    that were read since: one that was not gives what it gave."""
    if out <= set(reading.without):
        return replace(reading, without=_less(reading.without, out))
    since = battery_read_at(platform, reading.place) and reading.place not in posts
    return reading if reading.without or since or not reading.shows_current else None


def _less(names: Iterable[str], out: Collection[str]) -> tuple[str, ...]:
    return tuple(name for name in names if name not in out)


def _so(told: Iterable[_Told], out: frozenset[str]) -> Iterable[_Told]:
    for one in told:
        yield replace(one, without=_less(one.without, out)) if out <= set(one.without) else one


def _tries(evidence: Evidence, out: frozenset[str], told: Sequence[tuple[Reading, Reading | None]]) -> Iterable[Try]:
    """What else was tried while it was so, each against the reading of the vehicle as it stands; and what was tried
    before."""
    latest: dict[str, Reading] = {}
    known = {id(one.after): one for one in evidence.tries}
    now_of = {id(reading): now for reading, now in told}
    for reading, now in told:
        one = known.pop(id(reading), None)
        if now is None or not now.without:
            if now is not None:
                latest[now.place] = now
        elif one is not None and out < set(one.out):
            yield replace(
                one, out=now.without, before=latest.get(now.place, one.before), after=now,
                back=now_of.get(id(one.back), one.back) if one.back is not None else None,
                turned=tuple(at for at in one.turned if at[0] not in out),
            )  # fmt: skip
        elif one is not None:
            yield one
        elif out < set(reading.without) and now.place in latest and now.speaks == "parked":
            yield Try(out=now.without, before=latest[now.place], after=now, written=now.written, span=now.span)
    for one in known.values():  # told in words alone: no reading of its own
        if out < set(one.out):
            yield replace(one, out=_less(one.out, out), turned=tuple(at for at in one.turned if at[0] not in out))
        elif set(one.out) != out:
            yield one
