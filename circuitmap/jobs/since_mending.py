"""A card on which something was mended tells of one vehicle after the other, each diagnosed by what was read of it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from circuitmap.circuit.links import circuit_of
from circuitmap.evidence.evidence import Evidence, MendedThing
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.mended_way import places_passed
from circuitmap.jobs.standing import JobStanding, Stage
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.parts import Load, Relay, Switch
from circuitmap.wiring.platform import Platform

SINCE: tuple[Stage, ...] = ("not-repaired", "mended", "repaired", "renewed", "no-draw-mended")
"""Stages in which the vehicle is another one than that which came in."""


def as_it_came_in(card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence of the vehicle before the last thing was mended, and since what was mended before that."""
    mended = _mended_at(card)
    for start, end in reversed([*zip((0, *mended), mended, strict=False)]):
        before = evidence.told_between(start, end)
        if before.readings or before.tries:
            return before
    return evidence.told_between(0, mended[0]) if mended else evidence


def as_it_is_now(platform: Platform, card: JobCard, evidence: Evidence, standing: JobStanding) -> Evidence:
    """The evidence of the vehicle since something was mended: what was read since, and, where it still draws, what was
    mended. Where nothing was mended, that of the vehicle as it came in."""
    mended = _mended_at(card)
    if standing.stage not in SINCE or not mended:
        return as_it_came_in(card, evidence)
    since = evidence.told_between(mended[-1], None)
    since = replace(since, added=tuple(part for part in since.added if part.name not in standing.taken_away))
    if standing.stage != "not-repaired":
        return since
    kept = tuple(_from_before(platform, evidence, standing, since, mended)) if standing.is_mended_in_part else ()
    now = _what_was_mended(platform, standing)
    in_doubt = tuple(_on_its_way(platform, evidence, (*now, *_mended_before_it(standing)), kept)) if kept else ()
    return replace(since, mended=(*since.mended, *now), readings=(*kept, *since.readings), from_before=in_doubt)


def _from_before(
    platform: Platform, evidence: Evidence, standing: JobStanding, since: Evidence, mended: Sequence[int]
) -> Iterator[Reading]:
    """What was read before the mending and holds since, where the draw has gone down by the share of what was mended: a
    place that showed nothing shows none now, and one that showed no more than what is left did so beside the share that
    is gone. What was read at the place since outweighs it, and so does a battery's own reading."""
    n = len(mended) - 1
    while n and standing.mendings[n - 1].its_share_is_gone:
        n -= 1
    left = standing.mendings[-1].since
    read = {reading.place for reading in since.readings}
    latest: dict[str, Reading] = {}
    for reading in evidence.told_between(mended[n - 1] if n else 0, mended[-1]).readings:
        if reading.speaks == "parked" and not reading.without and not battery_read_at(platform, reading.place):
            latest[reading.place] = reading
    for place, reading in latest.items():
        if place not in read and (not reading.shows_current or _is_part_of(reading, left)):
            yield replace(reading, total=None, given=())


def _mended_before_it(standing: JobStanding) -> Iterator[MendedThing]:
    found = (one.found for one in standing.mendings[:-1])
    yield from (MendedThing(its.parts or its.names, "named") for its in found if its is not None)


def _on_its_way(
    platform: Platform, evidence: Evidence, mended: Sequence[MendedThing], kept: Sequence[Reading]
) -> Iterator[Reading]:
    """Those of the readings in which the current of what was mended may have flowed: all others say what they said."""
    names = [name for thing in mended for name in thing.parts]
    passed = places_passed(circuit_of(platform), evidence, names)
    yield from (reading for reading in kept if passed is None or reading.place in passed)


def _is_part_of(reading: Reading, left: Reading | None) -> bool:
    """Whether a place showed no more than what the vehicle still draws."""
    if left is None or left.amps is None or reading.amps is None:
        return False
    return reading.amps <= left.amps + reading.half_step + left.half_step + 2.0 * (reading.zero + left.zero)


def _mended_at(card: JobCard) -> tuple[int, ...]:
    """Where in the card's text something was mended."""
    return tuple(e.span.start for e in card.entries if e.struck is None and e.mended is not None)


def _went(tries: Iterable[TryVerdict]) -> list[TryVerdict]:
    return [one for one in tries if one.verdict in ("proven", "involved", "part")]


def _what_was_mended(platform: Platform, standing: JobStanding) -> tuple[MendedThing, ...]:
    """What took the draw with it when it was out, as far as that is what was mended: by the words of the card the parts
    themselves, or what hangs on a fuse or plug. A part that is only named beside a wire was not mended."""
    found = standing.found
    if found is None or not (found.names or found.parts):
        return tuple(MendedThing(parts, "something") for parts in _narrowest(_went(standing.tries)))
    own = tuple(MendedThing(parts, "themselves") for parts in _narrowest(list(found.own)))
    out = {name for one in own for name in one.parts}
    own += tuple(MendedThing((part,), "named") for part in found.parts if part not in out)
    led = [one for one in found.led if not any(_is_at_fault_itself(platform, name) for name in one.out)]
    return own or tuple(MendedThing(parts, "hangs") for parts in _narrowest(led))


def _is_at_fault_itself(platform: Platform, name: str) -> bool:
    """Whether what was out may itself be at fault; a fuse or a plug is where what hangs on it was taken off."""
    return isinstance(platform.parts.get(name), Load | Relay | Switch)


def _narrowest(tries: list[TryVerdict]) -> tuple[tuple[str, ...], ...]:
    """What took the draw with it when it was out: where the same draw went with several things, what was proven, or
    else tried last."""
    order = sorted(tries, key=lambda one: (one.verdict == "proven", one.after.span.start if one.after.span else 0))
    by_draw: dict[float | None, tuple[str, ...]] = {}
    for one in order:
        took = one.took
        same = next((d for d in by_draw if took is not None and d is not None and abs(d - took) <= 0.1 * d), took)
        by_draw[same] = one.out
    return tuple(dict.fromkeys(by_draw.values()))
