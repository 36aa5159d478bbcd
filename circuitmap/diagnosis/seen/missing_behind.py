"""What a feeder carries and nobody found behind it: how much, where nothing was read yet, and which zeros may be wrong.

A fuse box is read fuse by fuse, the feeder with a clamp. Where the two do not agree, either something was not read, or
a reading of nothing is wrong, or something hangs there that is on no sheet.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from circuitmap.diagnosis.car.places import PlaceTree, nearest
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.netting import Netted, Segment
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.diagnosis.seen.passed_places import brought_together, in_segments
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.parts import FIRST, Battery, Fuse, Terminal

MISSES = 0.25
"""The share of what a feeder carries from which on it is told that it was not found behind it (judgement)."""
NEARLY_ALL = 2
"""Where this many times as many places were read as were not, those that were not are named: whoever read nearly all
of a box thinks that he has read it (judgement)."""


class OverAContact(NamedTuple):
    """A relay whose contact a place feeds with no fuse between, open on a sound parked car, and the fuses behind it of
    which none was read."""

    relay: str
    to: tuple[str, ...]


class MissingBehind(NamedTuple):
    """`amps` were read at `place`, `found` in all right behind it. `unread` are the places behind it where nothing was
    read, `quiet` those that are fed and showed nothing, where more is missing than what sleeps at the others; `cables`
    parts right behind it that no fuse protects and nobody clamped or took off, `went` one that was taken off, and with
    which what is missing went; `contacts` relays through which it may
    flow on if they do not open; `misses`: much less was found than flows in."""

    place: str
    amps: float
    found: float
    unread: tuple[str, ...]
    quiet: tuple[str, ...]
    misses: bool
    cables: tuple[str, ...] = ()
    contacts: tuple[OverAContact, ...] = ()
    went: str = ""


def missing_behind(
    nets: Netted, tree: PlaceTree, faults: Iterable[Fault] = (), tried: Iterable[Tried] = ()
) -> tuple[MissingBehind, ...]:
    """Of every feeder that was read, and that something was read behind: what is missing there. Posts of batteries in
    series are no feeders: what leaves at their tap is told beside the count."""
    segments = (s for s in nets.segments if s.amps is not None and len(s.readings) > 1)
    feeders = [
        s for s in segments if not _is_quiet(s.readings[0]) and tree.is_battery(s.place) == tree.is_post(s.place)
    ]
    if not feeders:
        return ()
    behind = hanging(nets, tree)
    amounts = {segment.place: segment for segment in nets.segments if segment.amps is not None}
    asleep = in_segments(tree.parked.asleep.values(), amounts, tree)
    alone = {one.attempt.out[0]: one for one in tried if len(one.attempt.out) == 1 and not one.why_not}
    own_cables = {fault.part for fault in faults if fault.has("own-cable")}
    cables = own_cables - alone.keys() - nets.readings.keys()
    by_place: dict[str, list[str]] = {}
    for cable in sorted(cables):
        by_place.setdefault(nearest(tree.above(cable), nets.readings) or "", []).append(cable)
    found = []
    for segment in feeders:
        unread, quiet, read = looked_at(segment.place, nets.readings, behind)
        quiet = [place for place in quiet if not tree.is_dead(place)]
        misses = (segment.amps or 0.0) > max(segment.error, MISSES * (segment.readings[0].amps or 0.0))
        if misses or 0 < len(unread) * NEARLY_ALL <= read:
            sleeps = sum(current.mean for current in brought_together(asleep.get(segment.place, ())))
            doubted = quiet if (segment.amps or 0.0) > sleeps + segment.error else ()
            its = _missing(segment, unread, doubted, misses)
            if misses:
                contacts = tuple(over_contacts(segment.place, nets, tree))
                went = _went_with(segment, [one for name, one in alone.items() if name in own_cables], nets, tree)
                its = its._replace(cables=tuple(by_place.get(segment.place, ())), contacts=contacts, went=went)
            found.append(its)
    return tuple(found)


def _went_with(segment: Segment, tried: Iterable[Tried], nets: Netted, tree: PlaceTree) -> str:
    """The part with a cable of its own right behind a place with which as much as is missing there went."""
    for one in tried:
        attempt = one.attempt
        (name,) = attempt.out
        took = (attempt.before.amps or 0.0) - (attempt.left or 0.0) if attempt.before is not None else 0.0
        is_here = nearest(tree.above(name), nets.readings) == segment.place
        if is_here and attempt.fell and not attempt.stayed_away and abs(took - (segment.amps or 0.0)) <= segment.error:
            return name
    return ""


def _missing(segment: Segment, unread: Sequence[str], quiet: Sequence[str], misses: bool) -> MissingBehind:
    own = segment.readings[0].amps or 0.0
    return MissingBehind(segment.place, own, own - (segment.amps or 0.0), tuple(unread), tuple(quiet), misses)


def over_contacts(place: str, nets: Netted, tree: PlaceTree) -> Iterator[OverAContact]:
    """The open contacts right behind a place, those behind which nothing was read."""
    parked = tree.parked
    net_of, live = parked.powered.nets.net_of, parked.powered.settled.reach.supply
    told: set[str] = set()
    for link in parked.plan.relay_contacts:
        relay, ends = parked.circuit.links[link].part, parked.circuit.ends[link]
        for near, far in (ends, ends[::-1]):
            if relay in told or live[net_of[near]] or not live[net_of[far]]:
                continue
            way = parked.ways.to(parked.circuit.nodes[far])
            places = tree.way_places(way.places) if way is not None else ()
            if next((p for p in places if p == place or isinstance(parked.platform.parts.get(p), Fuse)), "") != place:
                continue
            to = [
                fuse.name
                for fuse in parked.platform.fuses
                if (node := parked.circuit.number.get(Terminal(fuse.name, FIRST))) is not None
                and net_of[node] == net_of[near]
                and not fuse.empty
            ]
            if not nets.readings.keys() & set(to):
                told.add(relay)
                yield OverAContact(relay, tuple(to))


def _is_quiet(reading: Reading) -> bool:
    return reading.amps is not None and not reading.shows_current


def hanging(nets: Netted, tree: PlaceTree) -> Mapping[str, list[str]]:
    """The places right behind each place: fuses that are fed while parked, batteries, and what else was read."""
    platform = tree.parked.platform
    names = [part.name for part in platform.parts.values() if isinstance(part, Fuse | Battery)]
    every = dict.fromkeys(tree.joined.get(name, name) for name in names)
    places = [place for place in every if place in nets.readings or not tree.is_dead(place)]
    known = frozenset(places) | nets.readings.keys()
    found: dict[str, list[str]] = {}
    for place in places:
        above = next((p for p in tree.above(place) if p in known or tree.is_battery(p)), None)
        if above is not None:
            found.setdefault(above, []).append(place)
    return found


def looked_at(
    place: str, readings: Mapping[str, Reading], behind: Mapping[str, list[str]]
) -> tuple[list[str], list[str], int]:
    """Behind a place, as far as what was read: what was not, what showed nothing, and how many were read."""
    unread: list[str] = []
    quiet: list[str] = []
    read = 0
    waiting = list(behind.get(place, ()))
    while waiting:
        its = waiting.pop(0)
        if its in readings:
            read += 1
            quiet += [its] if _is_quiet(readings[its]) else []
        elif _any_read(its, readings, behind):
            waiting = [*behind[its], *waiting]
        else:
            unread.append(its)
    return unread, quiet, read


def _any_read(place: str, readings: Mapping[str, Reading], behind: Mapping[str, list[str]]) -> bool:
    waiting = list(behind.get(place, ()))
    while waiting:
        its = waiting.pop()
        if its in readings:
            return True
        waiting += behind.get(its, ())
    return False
