"""Tries that were made: what was read before and after, weighed against what each fault would have left."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from math import sqrt

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.seen.let_go import let_go_by
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.diagnosis.seen.passed_places import brought_together
from circuitmap.diagnosis.seen.taken_over import TAKES_OVER, joined_by, taken_over
from circuitmap.diagnosis.weighing.outcomes import (
    LEAST_FALL,
    LEAST_FALL_SAID,
    LEAST_STEPS,
    WANDERS,
    least_fall,
    outcome_of,
)
from circuitmap.diagnosis.weighing.sightings import Brought, Outcome, StateSighting, TrySighting
from circuitmap.evidence.changes_seen import Change
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try, ended_by_itself, too_early
from circuitmap.evidence.tries_of_events import came_without
from circuitmap.quantities import Band
from circuitmap.wiring.usual import limit_of, sleep_of

SLIP = 0.003
"""Share of tries that show something other than they should (judgement)."""
GONE_SLIP = 0.0005
"""The same where a draw that was CLEARLY there is gone: it would have to end by itself in that very minute
(judgement)."""
CLEARLY = 3.0
WORDS_SLIP = 0.01
"""The same where nobody wrote down a figure (judgement)."""
TURNED_SLIP = 0.30
"""The same for a switch that was turned and not taken out: a contact that sticks stays closed (judgement)."""
IN_WORDS: Mapping[Change, str] = {"gone": "normal", "less": "down", "no change": "stays", "again": "stays"}
STAYED_AWAY = 0.05
"""The same where what went stays away with everything in again: it went by itself, or something was reset, and is no
current of what was out, which would be there again (judgement)."""
NOT_EACH_USE = 0.2
"""The same where the vehicle was used with something out, and was quiet after: not each use brings a draw back
(judgement)."""
IN_TURN = 0.02
"""The same once it came back after the next use, with that in again (judgement)."""
UNREAD = 10.0
"""A draw of which somebody said what became of it, but that nobody read, is taken for this many times what is normal
(judgement)."""
WRONG_PLACE = 0.25
"""Chance that a slip shows a current that is known to flow at another place: most slips are the fuse beside
(judgement)."""
AS_MUCH = 1.2
"""A reading of more than this share of the total is no reading of the wrong place (judgement)."""


def normal_up_to(parked: Parked, tree: PlaceTree, place: str) -> float:
    """The current in A that counts as normal at a place: the platform's limit at a battery, and nowhere less than
    what the parts behind the place may draw asleep."""
    known = tree.derived(_Normal).up_to
    if place not in known:
        known[place] = _normal_up_to(parked, tree, place)
    return known[place]


class _Normal:
    """What is normal at each place of one car that somebody asked about."""

    def __init__(self, _tree: PlaceTree) -> None:
        self.up_to: dict[str, float] = {}


def _normal_up_to(parked: Parked, tree: PlaceTree, place: str) -> float:
    flows = [flow for flow in parked.asleep.values() if place in tree.way_places(flow.way.places)]
    # what something on no sheet takes standing by is no more than a guess, unless somebody said it: no excuse for more
    currents = brought_together(f for f in flows if not f.assumed or f.owner in parked.platform.parts)
    mean, deviation = sum(c.mean for c in currents), sqrt(sum(c.variance for c in currents))
    part = parked.platform.parts.get(place)
    limit = limit_of(parked.platform) if part is None or part.kind == "battery" else 0.02
    return max(limit, mean + deviation)


def tries_seen(
    tries: Sequence[Try], latest: Mapping[str, Reading], faults: Sequence[Fault], parked: Parked, tree: PlaceTree,
    without: Callable[[tuple[str, ...]], Without], period: float | None,
) -> tuple[list[TrySighting[Tried] | StateSighting[Tried]], list[Tried]]:  # fmt: skip
    """Observations from tries, and what became of each try. `latest` are readings with everything in, by place;
    `without` gives the vehicle with parts out."""
    seen: dict[int, Tried] = {}
    settings: dict[int, tuple[Tried, Outcome, Tried | None]] = {}
    joined: list[StateSighting[Tried]] = []
    over = taken_over(tries, latest, tree)
    for number in sorted(range(len(tries)), key=lambda n: len(tries[n].out)):
        attempt = tries[number]
        if number in over:
            seen[number] = Tried(attempt, TAKES_OVER)
            joined.append(joined_by(seen[number], faults, without(attempt.out).out))
            continue
        within = _beside(attempt, [settings[n][0] for n in sorted(settings)])
        before = within.attempt.after if within else attempt.before or latest.get(attempt.after.place)
        if attempt.after.change:
            before = _known_before(attempt, before, parked, tree)
        elif before is None or before.amps is None or attempt.after.amps is None:
            seen[number] = Tried(attempt, why_not="nothing read before")
            continue
        if attempt.event == "between":
            seen[number] = Tried(attempt, why_not="between events")
            continue
        assert before is not None
        came = came_without(parked.platform, attempt)
        ended = 0.0 if came else ended_by_itself(attempt, period)
        setting = _setting(attempt, before, parked, tree)._replace(ended=ended)
        if attempt.stayed_away:
            setting = setting._replace(slip=max(setting.slip, STAYED_AWAY))
        if attempt.over_use and attempt.fell:
            setting = setting._replace(slip=max(setting.slip, IN_TURN if attempt.came_back else NOT_EACH_USE))
        settled = attempt.after.speaks == "parked"
        rose = setting.now > setting.was + max(setting.off, WANDERS * setting.was)
        woken = not settled and (rose or before.speaks != "parked") and setting.name == "stays"
        if setting.name == "stays" and setting.now < setting.was < LEAST_STEPS * setting.step:
            seen[number] = Tried(attempt, setting.name, "too coarse")
        elif woken or (setting.name != "stays" and not came and too_early(attempt, period)):
            seen[number] = Tried(attempt, setting.name, "too early")
        else:
            at_once = not settled and setting.name != "normal"
            ended = setting.ended if setting.name != "stays" else 0.0
            seen[number] = Tried(attempt, setting.name, at_once=at_once, ended=ended)
            went = let_go_by(seen[number], faults, without(attempt.out)) if attempt.stayed_away else None
            joined += [went] if went is not None else []
            settings[number] = (seen[number], setting, within)
    in_order = [settings[number] for number in sorted(settings)]
    told = [its for its in in_order if not any(_says_as_much(other, its[0]) for other, _, _ in in_order)]
    first = {its.attempt.out: its for its, _, _ in reversed(told)}
    weighed_so = [
        _sighting(
            one, setting, faults, without(within.attempt.out) if within else None, without(one.attempt.out), parked,
            tree, doubt=first[one.attempt.out] is one,
        )
        for one, setting, within in told
    ]  # fmt: skip
    return [*joined, *weighed_so], [seen[number] for number in sorted(seen)]


def _beside(attempt: Try, weighed: Sequence[Tried]) -> Tried | None:
    """The try with less out beside which this one was made: what was out then took its share of the draw and stayed
    out. What went besides went of what that left, which wanders by less than the whole did."""

    def how_near(one: Tried) -> tuple[int, bool]:
        return len(one.attempt.out), _at(one.attempt) < _at(attempt)

    fewer = (its for its in reversed(weighed) if set(its.attempt.out) < set(attempt.out) and not its.at_once)
    left = (its for its in fewer if its.outcome == "down" and its.attempt.after.amps is not None)
    return max((its for its in left if its.attempt.after.place == attempt.after.place), key=how_near, default=None)


def _at(attempt: Try) -> int:
    return attempt.span.start if attempt.span is not None else -1


def _says_as_much(other: Tried, one: Tried) -> bool:
    """Whether nothing changed with all that was out in one try, and more, in another: then that one says it all, and
    what each part takes is not held against it twice."""
    alike = other.outcome == one.outcome == "stays" and other.attempt.after.place == one.attempt.after.place
    return alike and other.at_once <= one.at_once and set(one.attempt.out) < set(other.attempt.out)


def contradicted(tried: Iterable[Tried], nets: Netted, tree: PlaceTree) -> dict[str, Tried]:
    """The places that were seen to carry a current, once, which went on all the same when they, or what feeds them,
    were out. That much flows elsewhere: one of two things was read or taken out at the wrong place."""
    found = {}
    for one in tried:
        before, after = one.attempt.before or nets.readings.get(one.attempt.after.place), one.attempt.after
        if one.why_not or one.outcome != "stays" or before is None or before.amps is None:
            continue
        out = frozenset(one.attempt.out)
        for place, reading in nets.readings.items():
            goes = reading.amps is not None and reading.shows_current and reading.amps <= AS_MUCH * before.amps
            must_fall = goes and (reading.amps or 0.0) >= least_fall(before.amps, after.meter.step, LEAST_FALL_SAID)
            if must_fall and place not in nets.read_twice and not out.isdisjoint((place, *tree.above(place))):
                found[place] = one
    return found


def _known_before(attempt: Try, before: Reading | None, parked: Parked, tree: PlaceTree) -> Reading:
    """What the draw was before; where that was not read, something that is too much."""
    if before is not None and before.amps is not None:
        return before
    return replace(attempt.after, amps=UNREAD * normal_up_to(parked, tree, attempt.after.place), change="")


def _setting(attempt: Try, before: Reading, parked: Parked, tree: PlaceTree) -> Outcome:
    assert before.amps is not None
    place = attempt.after.place
    zero = attempt.after.zero
    limit = normal_up_to(parked, tree, place) + attempt.after.half_step + zero
    slip = TURNED_SLIP if attempt.turned else SLIP
    if attempt.after.change:
        said = IN_WORDS[attempt.after.change]
        return Outcome(said, before.amps, limit, before.meter.step, max(slip, WORDS_SLIP), in_words=True)
    assert attempt.after.amps is not None
    step = max(2.0 * attempt.after.half_step, attempt.after.meter.step if attempt.after.resistance is None else 0.0)
    share = LEAST_FALL if before.speaks == "parked" else LEAST_FALL_SAID
    name = outcome_of(before.amps, attempt.after.amps, limit, step, share)
    in_common = before.meter.name == attempt.after.meter.name
    zeros = 0.0 if in_common else 2.0 * (before.zero + zero)
    off = before.half_step + attempt.after.half_step + zeros
    if name == "normal" and not attempt.turned and before.amps >= CLEARLY * limit:
        slip = GONE_SLIP
    common = min(before.zero, zero) if in_common else 0.0
    return Outcome(name, before.amps, limit, step, slip, now=attempt.after.amps, off=off, zero=common)


def _sighting(
    tried: Tried, setting: Outcome, faults: Sequence[Fault], beside: Without | None, without: Without, parked: Parked,
    tree: PlaceTree, doubt: bool,
) -> TrySighting[Tried]:  # fmt: skip
    """`beside`: with what was out before already. `doubt`: the first that shows whether what is out ends a fault of
    which that is not said; others go by it."""
    place = tree.joined.get(tried.attempt.after.place, tried.attempt.after.place)
    before: dict[int, tuple[Brought, ...]] = {}
    after: dict[int, tuple[Brought, ...]] = {}
    meanwhile: dict[int, tuple[Brought, ...]] = {}
    known: dict[int, tuple[Brought, ...]] = {}
    either = False  # where nobody knows whether what is out ends a fault
    reset = tried.attempt.stayed_away
    fed_by_it = _fed_over(without.out, parked) if reset else frozenset[str]()
    for number, fault in enumerate(faults):
        if id(fault.brings) not in known:
            known[id(fault.brings)] = _through(fault.brings, place, tree)
        brings = fault.brings if beside is None else beside.left_of(fault)
        before[number] = known[id(fault.brings)] if brings == fault.brings else _through(brings, place, tree)
        left = without.left_of(fault)
        after[number] = before[number] if left == brings else _through(left, place, tree)
        if tried.at_once:
            at_once = without.left_at_once(fault)
            meanwhile[number] = after[number] if at_once == left else _through(at_once, place, tree)
        else:
            # A contact that is as open as it fails clears nothing by being out for nothing: so the card says it, too.
            unsaid = setting.name != "stays" and without.is_doubted(fault)
            may_end = (
                without.may_be_behind(fault) or (unsaid and doubt) or (reset and _has_lost_a_feed(fault, fed_by_it))
            )
            if unsaid and not doubt:
                after[number] = ()
            plugged_in = without.left_if_plugged_in(fault) if without.plugged_in else left
            either |= may_end or plugged_in != left
            meanwhile[number] = () if may_end else after[number]
            if plugged_in != left and not may_end:
                meanwhile[number] = _through(plugged_in, place, tree)
    healthy = _through((parked if beside is None else beside).asleep.values(), place, tree)
    still_asleep = _through(without.asleep.values(), place, tree)
    mean, variance = sum(c.mean for c in still_asleep), sum(c.variance for c in still_asleep)
    return TrySighting(
        label=tried,
        before={n: its for n, its in before.items() if its},
        after={n: its for n, its in after.items() if its},
        healthy_mean=mean,
        healthy_variance=variance,
        removed_healthy_mean=max(sum(c.mean for c in healthy) - mean, 0.0),
        removed_healthy_variance=max(sum(c.variance for c in healthy) - variance, 0.0),
        outcome=setting,
        meanwhile={n: its for n, its in meanwhile.items() if its} if tried.at_once or either else None,
        ended=asleep_by_then(tried.attempt.after, sleep_of(parked.platform)) if tried.at_once else EITHER,
    )


def _fed_over(out: frozenset[str], parked: Parked) -> frozenset[str]:
    """The modules that lose one of their feeds with something out: that alone may make them start anew."""
    modules = (load.name for load in parked.platform.loads if load.kind == "module")
    return frozenset(name for name in modules if any(supply & out for supply in parked.supplies_of(name)))


def _has_lost_a_feed(fault: Fault, fed_by_it: frozenset[str]) -> bool:
    """Whether a module that takes part in a fault may have been reset."""
    return any({one.part, one.module} & fed_by_it for one in fault.of or (fault,))


EITHER = 0.5
ASLEEP_SO_SOON = 0.1
"""The chance that a vehicle has fallen asleep once the shortest time has passed that it is known to take; up to there
it grows from nothing, and on to the longest time to certainty (judgement)."""


def asleep_by_then(reading: Reading, sleep: Band) -> float:
    """The chance that what was kept awake sleeps at a reading, by the minutes since it was left alone; one is as likely
    as the other where nobody wrote these down."""
    if reading.minutes is None:
        return EITHER
    if reading.minutes < sleep.low:
        return ASLEEP_SO_SOON * max(reading.minutes, 0.0) / sleep.low
    so_far = (reading.minutes - sleep.low) / (sleep.high - sleep.low) if sleep.high > sleep.low else 1.0
    return ASLEEP_SO_SOON + (1.0 - ASLEEP_SO_SOON) * min(so_far, 1.0)


def _through(flows: Iterable[Flow], place: str, tree: PlaceTree) -> tuple[Brought, ...]:
    """How much of some currents passes a place."""
    return brought_together(flow for flow in flows if place in tree.way_places(flow.way.places))
