"""From readings to segments: what flows between the places that were measured.

A fuse and the fuses behind it carry the same current. So each place becomes its reading minus the readings of its
nearest measured branches, and no current is counted twice. Only readings of one state are netted, the latest
at each place. The battery's segment is everything that was not measured by itself.

A place that is dead on a sound parked car may be fed by one of several ways, depending on what is wrong. By default it
is taken to hang on a measured place that shows enough current; a fault that feeds it says by which way.
"""

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import hypot, sqrt
from typing import NamedTuple

from circuitmap.diagnosis.car.places import PlaceTree, nearest
from circuitmap.diagnosis.seen.both_ends import BothEnds, Chains, fed_from_both_ends
from circuitmap.diagnosis.seen.choosing_readings import Chosen, Disagreement, SetAside, agree, chosen_from
from circuitmap.diagnosis.seen.slipped_leads import with_leads_in_doubt
from circuitmap.diagnosis.weighing.reading_chance import Strip
from circuitmap.diagnosis.weighing.sightings import ZeroError
from circuitmap.evidence.evidence import Gone
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try

Routes = Mapping[str, tuple[tuple[str, ...], ...]]
"""For places that are dead when parked, the places upstream along each way by which some fault would feed them."""


class Segment(NamedTuple):
    """What flows at a place but not through any measured place behind it.

    `amps` is None where only "draws" or "quiet" is known. `readings` are those it was worked out from, its own first.
    """

    place: str
    amps: float | None
    strip: Strip
    zero: ZeroError | None
    readings: tuple[Reading, ...]

    @property
    def error(self) -> float:
        """Two standard deviations of every error but the last digit's, plus that digit, in A."""
        half = 0.0 if self.amps is None else self.strip.highest - self.amps
        zero = abs(self.zero.amps) if self.zero is not None else 0.0
        own = abs(self.amps or 0.0) * self.strip.relative
        return half + 2.0 * sqrt(self.strip.blur**2 + zero**2 + own**2)


class Contradiction(NamedTuple):
    """Readings that cannot all be right: branches that carry more than what feeds them, or a current the wrong
    way round."""

    place: str
    readings: tuple[Reading, ...]
    amps: float
    error: float


@dataclass(frozen=True)
class Netted:
    """`fixed` are the branches of each place that hang on it in any case, `loose` the places that may hang on one place
    or another, each with the place it is taken to hang on by default (empty: none); `looks` says how many looks at a
    place agree with the latest reading there; `charging` are readings at batteries that another battery charges; at a
    place that is fed from `both_ends`, `readings` has what comes from both together; `disagreed` is what two people
    read further apart than their meters; `before` are the looks across a fuse that agree with its latest."""

    segments: tuple[Segment, ...]
    set_aside: tuple[SetAside, ...]
    contradictions: tuple[Contradiction, ...]
    totals: tuple[Reading, ...]
    readings: Mapping[str, Reading]
    fixed: Mapping[str, tuple[str, ...]]
    loose: Mapping[str, str]
    looks: Mapping[str, int] = field(default_factory=dict)
    charging: tuple[Reading, ...] = ()
    both_ends: tuple[BothEnds, ...] = ()
    disagreed: tuple[Disagreement, ...] = ()
    before: Mapping[str, tuple[Reading, ...]] = field(default_factory=dict)

    @property
    def read_twice(self) -> frozenset[str]:
        return frozenset(place for place, looks in self.looks.items() if looks > 1)

    @cached_property
    def weighed(self) -> tuple[Segment, ...]:
        """All segments, and those that contradict what was read behind them: one of the two is right."""
        clashing = (self.segment_with(clash.place, self._hanging_on(clash.place)) for clash in self.contradictions)
        return (*self.segments, *clashing)

    def _hanging_on(self, place: str) -> list[str]:
        return [child for child, parent in self.loose.items() if parent == place]

    @cached_property
    def measured(self) -> Mapping[str, Segment]:
        return {segment.place: segment for segment in self.weighed}

    def branches_of(self, place: str) -> tuple[str, ...]:
        """The places that hang on a place, or may."""
        return (*self.fixed.get(place, ()), *(name for name in self.loose if name != place))

    def segment_with(self, place: str, loose: Iterable[str]) -> Segment:
        """The segment of a place if exactly these of the loose places hang on it."""
        branches = [self.readings[name] for name in (*self.fixed.get(place, ()), *loose)]
        return _segment(place, self.readings[place], branches)


def netted(
    readings: Sequence[Reading], tree: PlaceTree, routes: Routes, tries: Sequence[Try] = (), joins: Chains = (),
    of_before: Sequence[Reading] = (), gone: Sequence[Gone] = (),
) -> Netted:  # fmt: skip
    """Segments from readings in any order but time: of two at one place the later counts."""
    chosen = chosen_from(readings, tree, tries, of_before, gone)
    twice = frozenset(place for place, looks in chosen.looks.items() if looks > 1)
    chosen = chosen._replace(latest=with_leads_in_doubt(chosen.latest, twice))
    charging = _charging(chosen, tree)
    given = {place: reading for place, reading in chosen.latest.items() if reading not in charging}
    amounts = {place: reading for place, reading in given.items() if reading.amps is not None}
    fixed: dict[str, list[str]] = {}
    loose: dict[str, str] = {}
    for place in amounts:
        above = [p for p in tree.above(place) if p != place]
        if place in routes or tree.is_dead(place):
            loose[place] = nearest(above, amounts) or ""
        else:
            parent = nearest(above, amounts)
            if parent is not None:
                fixed.setdefault(parent, []).append(place)
    both_ends = fed_from_both_ends(amounts, {reading.place: reading for reading in charging}, fixed, joins)
    totals, latest = _totals(given, tree), dict(chosen.latest)
    for its in both_ends:
        for place in (its.place, *its.above):
            read = latest[place]
            amounts[place] = latest[place] = replace(
                read, amps=(read.amps or 0.0) + its.amps, across=read.across + its.amps
            )
        fixed = {p: [name for name in names if name != its.through] for p, names in fixed.items()}
    # What runs the wrong way is told, and is no part of what flows above it.
    wrong_way = {place for place, reading in amounts.items() if runs_backwards(reading)}
    fixed = {place: [name for name in names if name not in wrong_way] for place, names in fixed.items()}
    loose = {place: above for place, above in loose.items() if place not in wrong_way}
    _place_loose_ones(loose, amounts, fixed, routes)
    before = Netted(
        (), tuple(chosen.set_aside), (), totals, latest,
        {place: tuple(names) for place, names in fixed.items()}, loose, chosen.looks, charging, both_ends,
        chosen.disagreed,
    )  # fmt: skip
    segments, contradictions = [], []
    for place in given:
        segment = before.segment_with(place, before._hanging_on(place))
        if segment.amps is not None and segment.amps + segment.error < 0.0:
            contradictions.append(Contradiction(place, segment.readings, segment.amps, segment.error))
        else:
            segments.append(segment)
    return Netted(
        tuple(segments), before.set_aside, tuple(contradictions), before.totals, before.readings, before.fixed, loose,
        before.looks, charging, both_ends, chosen.disagreed, chosen.before,
    )  # fmt: skip


SPEAKS_FOR = 0.5
"""What was found at other branches speaks for what feeds them from this share of it on (judgement)."""


def impossible_in(clash: Contradiction, read_twice: Container[str] = frozenset()) -> tuple[Reading, ...]:
    """The readings that are to be taken again first: branches that alone show more than what feeds them, by more than
    the meters can be off; or else the only one without which the rest goes together. Not what was read twice, and
    not several against one reading for which nothing else speaks."""
    own, *branches = clash.readings
    once = [branch for branch in branches if branch.place not in read_twice]

    def fits(*its: Reading) -> bool:
        segment = _segment(own.place, own, list(its))
        return (segment.amps or 0.0) + segment.error >= 0.0

    alone = [branch for branch in once if not fits(branch)]
    rest = sum(branch.amps or 0.0 for branch in branches if branch not in alone)
    if len(alone) == 1 or (alone and rest >= SPEAKS_FOR * (own.amps or 0.0)):
        return tuple(alone)
    if alone:
        return ()  # several against one: that one is as likely wrong
    without = [branch for branch in once if fits(*(other for other in branches if other is not branch))]
    return tuple(without) if len(without) == 1 else ()


def runs_backwards(reading: Reading) -> bool:
    """Whether a reading shows a current the other way round, beyond the meter's error."""
    return reading.amps is not None and reading.amps + _segment(reading.place, reading, []).error < 0.0


def _place_loose_ones(
    loose: dict[str, str], amounts: Mapping[str, Reading], fixed: Mapping[str, Sequence[str]], routes: Routes
) -> None:
    """Hang each loose place, the largest current first, on a measured place that still has that much to give; but of
    two on one way that carry the same, the one nearer to the battery first: else its current would be counted twice."""
    left = {p: (r.amps or 0.0) - sum(amounts[c].amps or 0.0 for c in fixed.get(p, ())) for p, r in amounts.items()}
    for place in _nearer_first(sorted(loose, key=lambda p: (-(amounts[p].amps or 0.0), p)), amounts, routes):
        parents = [nearest((p for p in route if p != place), amounts) for route in routes.get(place, ())]
        options = dict.fromkeys(p for p in (loose[place] or None, *parents) if p is not None)
        amps = amounts[place].amps or 0.0
        enough = [p for p in options if left[p] >= amps - amounts[p].half_step - 2.0 * amounts[p].zero - 0.1 * amps]
        most = sorted(enough, key=lambda p: -left[p])
        loose[place] = next(iter(most or options), "")
        if loose[place]:
            left[loose[place]] -= amps


def _nearer_first(places: Sequence[str], amounts: Mapping[str, Reading], routes: Routes) -> Sequence[str]:
    """These places, each after those that some fault would feed it through and that carry as much as it does."""
    found: dict[str, None] = {}

    def enter(place: str, behind: frozenset[str]) -> None:
        its = amounts[place]
        least = (its.amps or 0.0) - its.half_step - 2.0 * its.zero - 0.1 * (its.amps or 0.0)
        upstream = {p for route in routes.get(place, ()) for p in route} - behind - {place}
        for other in places:
            if other in upstream and other not in found and (amounts[other].amps or 0.0) >= least:
                enter(other, behind | {place})
        found[place] = None

    for place in places:
        if place not in found:
            enter(place, frozenset())
    return tuple(found)


def _charging(chosen: Chosen, tree: PlaceTree) -> tuple[Reading, ...]:
    """Readings of a current into a battery where the other batteries give as much: they charge it."""
    at = [reading for place, reading in chosen.latest.items() if reading.amps is not None and tree.is_battery(place)]
    taking = [reading for reading in at if (reading.amps or 0.0) < -reading.half_step - 2.0 * reading.zero]
    given = sum(max(reading.amps or 0.0, 0.0) + 2.0 * reading.zero + reading.half_step for reading in at)
    return tuple(taking) if -sum(reading.amps or 0.0 for reading in taking) <= given else ()


def _totals(given: Mapping[str, Reading], tree: PlaceTree) -> tuple[Reading, ...]:
    """The readings at battery posts with no read post above them, which together are the total: of two batteries in
    series, the minus post carries everything."""
    amounts = {place: reading for place, reading in given.items() if reading.amps is not None}
    posts = {place: reading for place, reading in amounts.items() if tree.is_post(place)}
    above = {place: [p for p in tree.above(place) if p != place] for place in posts}
    return tuple(reading for place, reading in posts.items() if nearest(above[place], posts) is None)


def _segment(place: str, own: Reading, branches: list[Reading]) -> Segment:
    readings = (own, *branches)
    relative = own.relative
    if own.amps is None:
        return Segment(place, None, Strip(own.lowest, own.highest, 0.0, relative), None, readings)
    amps = own.amps - sum(branch.amps or 0.0 for branch in branches)
    half = sqrt(sum(reading.half_step**2 for reading in readings))
    blur = 0.0
    if branches:
        blur, relative = sqrt(sum((r.relative * (r.amps or 0.0)) ** 2 for r in readings)), 0.0
    zeros: dict[str, float] = {}
    for sign, reading in ((1.0, own), *((-1.0, branch) for branch in branches)):
        if reading.zero > 0.0:
            zeros[reading.meter.name] = zeros.get(reading.meter.name, 0.0) + sign * reading.zero
    shared = max(zeros, key=lambda name: abs(zeros[name]), default=None)
    for name, amount in zeros.items():
        if name != shared:
            blur = hypot(blur, amount)
    zero = ZeroError(shared, zeros[shared]) if shared is not None else None
    return Segment(place, amps, Strip(amps - half, amps + half, blur, relative), zero, readings)


def looked_again(result: Netted, afterwards: Iterable[Reading]) -> Netted:
    """A reading with something out that shows the same as before is one more look at the place."""
    looks = dict(result.looks)
    for reading in afterwards:
        before = result.readings.get(reading.place)
        same = before is not None and (before is reading or (before.span is not None and before.span == reading.span))
        if before is not None and not same and agree(before, reading):
            looks[reading.place] = looks.get(reading.place, 1) + 1
    return replace(result, looks=looks)


class Found(NamedTuple):
    """What was read behind a place, in A, and its possible error."""

    amps: float = 0.0
    error: float = 0.0


def found_behind(result: Netted, tree: PlaceTree) -> dict[str, Found]:
    """For each place that was not read, the sum at the nearest measured places behind it."""
    found: dict[str, Found] = {}
    for other, reading in result.readings.items():
        error = _segment(other, reading, []).error
        for place in tree.above(other):
            if place == other:
                continue
            if place in result.readings:
                break
            before = found.get(place, Found())
            found[place] = Found(before.amps + (reading.amps or 0.0), hypot(before.error, error))
    return found


def more_than_found(result: Netted, tree: PlaceTree, found: Mapping[str, Found]) -> dict[str, float]:
    """For each place that was not read but has something found behind it: how much more than that, in A, a reading of
    it may show, including one standard deviation of the meters. This follows from a reading above it, less what was
    read beside it."""
    more = {}
    ways = {other: tree.above(other) for other, reading in result.readings.items() if reading.amps is not None}
    hangs_on = {other: nearest((p for p in way if p != other), result.readings) for other, way in ways.items()}
    for place, behind in found.items():
        above = nearest((p for p in tree.above(place) if p != place), result.readings)
        if above is None or above not in ways or tree.is_dead(place):
            continue
        beside = [result.readings[o] for o, way in ways.items() if hangs_on[o] == above and place not in way]
        at_most = _segment(above, result.readings[above], beside)
        more[place] = max((at_most.amps or 0.0) - behind.amps, 0.0) + at_most.error / 2.0
    return more


class Account(NamedTuple):
    """In A: the total, how much of it the readings behind the batteries account for, what is left, and the possible
    error of the meters."""

    total: float
    found: float
    left: float
    error: float


def account_of(result: Netted) -> Account | None:
    """The balance over all batteries that were read; None where none was."""
    accounts = accounts_of(result).values()
    if not accounts:
        return None
    total, left = sum(one.total for one in accounts), sum(one.left for one in accounts)
    return Account(total, total - left, left, hypot(*(one.error for one in accounts)))


def accounts_of(result: Netted) -> dict[str, Account]:
    """The balance of each battery that was read; one that is being charged leaves nothing to be found. Where another
    battery helps, more may be missing than a battery gives itself: that was found on the other's side; what was read
    there to come from a battery, by the cable alone, is found of it."""
    clashes = {clash.place: clash for clash in result.contradictions}
    helped = {its.place for its in result.both_ends}
    given = {its.giver: its.amps for its in result.both_ends}
    found = {}
    for reading in sorted(result.totals, key=lambda reading: reading.place):
        segment = result.measured.get(reading.place) or clashes.get(reading.place)
        total = reading.amps or 0.0
        left, error = (segment.amps or 0.0, segment.error) if segment is not None else (0.0, 0.0)
        if reading.place in helped:
            left = min(left, total)
        left -= given.get(reading.place, 0.0)
        found[reading.place] = Account(total, total - left, left, error)
    return found
