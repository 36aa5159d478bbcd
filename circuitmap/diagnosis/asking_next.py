"""The next test of a case that was weighed: what is out, what was done, what falls, and what is worth its minutes."""

from collections.abc import Collection, Sequence
from math import hypot

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.case import Case, by_label
from circuitmap.diagnosis.explaining.listing import Listed, listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.misfits import zeros_believed
from circuitmap.diagnosis.next_test.actions import Actions
from circuitmap.diagnosis.next_test.as_weighed import JointFaults, Reread
from circuitmap.diagnosis.next_test.choosing import next_tests
from circuitmap.diagnosis.next_test.doing import Doing
from circuitmap.diagnosis.next_test.done import Done
from circuitmap.diagnosis.next_test.expectations import Expectations
from circuitmap.diagnosis.next_test.next_tests import NextTests
from circuitmap.diagnosis.next_test.owed_box import OwedBox, owed_boxes
from circuitmap.diagnosis.next_test.planned import PlannedTest
from circuitmap.diagnosis.next_test.predicting import Predictions, Setting
from circuitmap.diagnosis.next_test.ranking import CHOICES
from circuitmap.diagnosis.prepared import Prepared
from circuitmap.diagnosis.seen.against_zeros import ODD
from circuitmap.diagnosis.seen.battery_before import battery_before
from circuitmap.diagnosis.seen.choosing_readings import gone_since
from circuitmap.diagnosis.seen.finding import finds_seen
from circuitmap.diagnosis.seen.netting import Found, Netted, account_of, found_behind, impossible_in, more_than_found
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.diagnosis.seen.only_just import only_just
from circuitmap.diagnosis.seen.pin_volts import pins_heard
from circuitmap.diagnosis.seen.read_first import read_first
from circuitmap.diagnosis.seen.settled import SettledPart, ended_with, settled_by
from circuitmap.diagnosis.seen.trying import normal_up_to
from circuitmap.diagnosis.weighing.weights import Together
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.no_difference import with_all_in
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.usual import limit_of


def tests_for(case: Case, evidence: Evidence) -> NextTests:
    """What is worth doing next, with what is out and what was done by the evidence."""
    ready, nets, faults, weighing = case.ready, case.nets, case.faults, case.weighing
    parked, tree = ready.parked, ready.tree
    explanations = listed(weighing)
    total = _most_beyond(nets, parked, tree)
    place = total.place if total is not None else battery_before(nets, tree)
    place = tree.joined.get(place, place)
    limit = normal_up_to(parked, tree, place)
    normal_at = {r.place: normal_up_to(parked, tree, r.place) + r.meter.step for r in nets.totals}
    step, zero = (total.meter.step, total.zero) if total is not None else (0.01, 0.0)
    was = total.amps if total is not None and total.amps is not None else 0.0
    can_fall = total is None or was > limit + total.half_step + total.zero
    if was <= limit:
        was = max(was, sum(max(s.amps or 0.0, 0.0) for s in nets.segments), 2.0 * limit)
    account = account_of(nets)
    out = evidence.out
    its = (t.attempt for t in case.tried if not t.why_not and set(t.attempt.out) == set(out))
    left = [attempt.after.amps for attempt in its if total is None or attempt.after.place == total.place]
    if out and left and left[-1] is not None and left[-1] > limit:
        was = max(left[-1], 0.0)
    else:
        out = ()  # with it out the draw is gone: what comes next is done with it in again
    settled = settled_in(case, evidence)
    # A share that is settled, with the rest still drawn, may stay out: back in, it would only hide the rest.
    put_in = _to_be_put_in(case.tried, evidence.out, limit) if settled is None else ()
    ended = ended_with(evidence.out, faults, parked.platform, parked.own_battery) if evidence.out else frozenset[int]()
    chafed = [one for one in evidence.found if one.sign == "chafed"]
    spotted = frozenset(n for its in finds_seen(chafed, faults, parked) for n in its.touched)
    found = found_behind(nets, tree)
    seen = {*tree.added, *(one.place for one in evidence.found if one.sign == "burning")}
    tried = frozenset(frozenset(t.attempt.out) for t in case.tried if not t.why_not)
    setting = Setting(
        place, was, limit + step, step, frozenset(nets.readings),
        {p: r.amps for p, r in nets.readings.items() if r.amps is not None and r.shows_current},
        max(account.left, 0.0) if account is not None else None,
        {s.place: max(s.amps, 0.0) + s.error for s in nets.segments if s.amps is not None},
        {p: hypot(behind.error, 2.0 * zero) for p, behind in found.items()},  # a feeder is read with the total's meter
        more_than_found(nets, tree, found),
        out, frozenset(one for names in tried if len(names) == 1 for one in names) | seen, can_fall,
        ended, frozenset(p for p, r in nets.readings.items() if r.amps is None and r.draws),
    )  # fmt: skip
    impossible = {r.place for clash in nets.contradictions for r in impossible_in(clash, nets.read_twice)}
    strained = [one.by[0] for one in only_just(nets, nets.read_twice)]
    again = sorted({*case.doubted, *impossible, *strained})
    predictions = Predictions(
        ready.expectations,
        faults,
        explanations,
        setting,
        _rereads(case, explanations, again),
        _joint(ready, weighing.together, len(faults), explanations),
    )
    lines = [line.network for line in evidence.lines if line.speaks == "parked"]
    done = Done(
        tried,
        frozenset(out),
        frozenset(one.relay for one in evidence.relays),
        frozenset(one.part for one in evidence.inputs) | frozenset(one.part for one in evidence.switches),
        any(not one.right for one in evidence.inputs) or any(not one.fine for one in evidence.switches),
        settled.faults if settled is not None else frozenset(),
        frozenset(one.place for one in evidence.found if one.sign == "sound")
        | {name for n in spotted if faults[n].has("its-place") for name in (faults[n].about, faults[n].place)},
        ended,
        pins_heard(evidence.volts, faults, parked),
        spotted,
        tuple(dict.fromkeys(one.attempt.out for one in case.tried if one.why_not == ODD)),
        frozenset(one.place for one in evidence.found if one.sign in ("burning", "dark")),
    )
    looked = evidence.looked or any(one.sign not in ("sound", "burning", "dark") for one in evidence.found)
    coming = [r.log for r in nets.totals if r.log is not None and r.log.comes_and_goes]
    up_for = min((log.up_for for log in coming if log.up_for is not None), default=None)
    actions = Actions(
        ready.handling, faults, looked=looked, done=done, readings=nets.readings,
        ends_by_itself=bool(coming), up_for=up_for,
    )  # fmt: skip
    latest = {its.network: its.state for its in evidence.lines if its.speaks == "parked" and not its.without}
    sound = parked.powered.networks
    awake = [name for name, its in latest.items() if its == "awake" and sound.get(name, Answer.NO) != Answer.YES]
    went = any(one.outcome == "normal" and not one.why_not for one in case.tried)  # that tells where it flows
    owed: tuple[OwedBox, ...] = ()
    if not awake and not out and not went:
        owed = owed_boxes(nets, tree, ready.handling, limit, actions.fed_by_likely(explanations))
    several = sum((r.amps or 0.0) > normal_at[r.place] for r in nets.totals) > 1
    tests = next_tests(
        actions, predictions, explanations, faults, lines, again, awake, owed, bool(strained or impossible), several
    )
    first = read_first(nets, case.something_wrong, limit) if not again else ()
    zeroed = tuple(filter(ready.handling.may_read, first))
    if zeroed:
        by_leads = all(nets.readings[place].drop is not None for place in zeroed)
        doing: Doing = "leads-again" if by_leads else "zero-again"
        zero_again = PlannedTest(ready.handling.action(doing, zeroed), 0.0, ())
        # Equal zeros are in all that was read; a total by itself is doubted beside the step that tells most.
        before = 1 if {r.place for r in nets.totals}.issuperset(zeroed) else 0
        tests = tests._replace(choices=(*tests.choices[:before], zero_again, *tests.choices[before:])[:CHOICES])
    coarse = _too_coarse(total, nets, limit, limit_of(parked.platform)) if not zeroed else ()
    if coarse and not again and not tests.mend:
        finer = PlannedTest(ready.handling.action("finer-clamp", coarse), 0.0, ())
        tests = tests._replace(choices=(finer, *tests.choices)[:CHOICES])
    stale = _in_doubt_since(evidence, nets) if not zeroed and not coarse and not again else ()
    if stale and ready.handling.may_read(stale[0]):
        once_more = PlannedTest(ready.handling.action("read-again", stale[:1]), 0.0, ())
        others = [its for its in tests.choices if its.action != once_more.action]
        tests = tests._replace(choices=(once_more, *others)[:CHOICES])
    looks = with_all_in(parked.platform, evidence.readings, evidence.tries, tree.hangs_on)
    gone = gone_since(looks, nets.set_aside, evidence.gone)  # then it has to come back before anything is taken out
    choices = [
        test._replace(found=found.get(test.action.parts[0], Found()).amps)
        if test.action.tells == "what flows there"
        else test
        for test in tests.choices
        if not (gone and test.action.takes_out)
    ]
    waits = tuple(evidence.out) if _waits(case.tried, evidence.out) else ()
    sleeps_at = None if waits else _sleeps_at(case, evidence)
    if waits or sleeps_at is not None:
        waits = waits or tuple(evidence.out)
        return tests._replace(
            choices=(), mend="", place=place, normal_at=normal_at, waits=waits, sleeps_at=sleeps_at
        )  # fmt: skip
    # What was found chafed at what leads lets go once it is touched: that is put right, not made to come back.
    gone = gone and not (tests.mend and any(faults[n].part == tests.mend for n in spotted))
    return tests._replace(
        choices=tuple(choices), mend="" if gone else tests.mend, gone=gone, place=place, normal_at=normal_at,
        put_in=() if gone else put_in,
    )  # fmt: skip


COARSE = 0.75
"""A display shows little of what is near a limit if one step of it is this share of it, or more (judgement)."""
FEW_STEPS = 10
"""Of so many steps, or more, a current can be followed by halves on that display as well (judgement)."""
MOST_READ_AGAIN = 2


def _too_coarse(total: Reading | None, nets: Netted, normal: float, limit: float) -> tuple[str, ...]:
    """What to read with a finer clamp before anything else: the total, where it is above what is normal, but shows as
    a few steps only of a display of which one is about the limit; and what showed nothing on that display."""
    if total is None or total.amps is None or total.drop is not None or total.resistance is not None:
        return ()
    step = total.meter.step
    if step < COARSE * limit or not normal < total.amps < FEW_STEPS * step - 1e-9:
        return ()
    nothing = sorted(
        name
        for name, one in nets.readings.items()
        if name != total.place and one.amps is not None and not one.shows_current
        and one.resistance is None and one.drop is None and one.meter.step >= step
    )  # fmt: skip
    return (total.place, *nothing[:MOST_READ_AGAIN])


def _waits(tried: Sequence[Tried], out: Sequence[str]) -> bool:
    """Whether what is out is out for too short a time to say of what comes and goes that it stays away."""
    its = [one for one in tried if out and set(one.attempt.out) == set(out)]
    return bool(its) and all(one.why_not == "too early" and one.outcome == "normal" for one in its)


MAY_KEEP_AWAKE = 0.2
"""From this probability on that what is out keeps others awake, nothing else is done before they had their time to fall
asleep (judgement)."""


def _sleeps_at(case: Case, evidence: Evidence) -> float | None:
    """The minute of the card's clock until which a vehicle that was locked with something out is left alone: its draw
    went on at once, and it is likely that what is out keeps others awake. None where nothing is to be waited for."""
    its = [one for one in case.tried if evidence.out and set(one.attempt.out) == set(evidence.out)]
    if evidence.asleep_from is None or not its or not its[-1].at_once or its[-1].outcome != "stays":
        return None
    without = case.ready.without(tuple(its[-1].attempt.out))
    chances = case.weighing.given_something
    likely = (n for n, fault in enumerate(case.faults) if fault.wakes and chances[n] > 0.0)
    awake = sum(float(chances[n]) for n in likely if _ends_later(without, case.faults[n]))
    return evidence.asleep_from if awake >= MAY_KEEP_AWAKE else None


def _ends_later(without: Without, fault: Fault) -> bool:
    return without.left_at_once(fault) != without.left_of(fault)


def _to_be_put_in(tried: Sequence[Tried], out: Sequence[str], limit: float) -> tuple[str, ...]:
    """Of what is out, and with which the draw is gone, all but what was out before while it went on: that share is
    settled, and may stay out. Nothing as long as it is not gone."""
    its = [one for one in tried if out and not one.why_not and set(one.attempt.out) == set(out)]
    if not its or its[-1].outcome != "normal":
        return ()
    before = [
        set(one.attempt.out)
        for one in tried
        if not one.why_not and set(one.attempt.out) < set(out) and (one.attempt.after.amps or 0.0) > limit
    ]
    stays = before[-1] if before else set[str]()
    return tuple(name for name in out if name not in stays)


def _most_beyond(nets: Netted, parked: Parked, tree: PlaceTree) -> Reading | None:
    """Of the readings at the batteries the one that is furthest beyond what is normal there: that is to fall."""
    return max(nets.totals, key=lambda r: (r.amps or 0.0) - normal_up_to(parked, tree, r.place), default=None)


def settled_in(case: Case, evidence: Evidence) -> SettledPart | None:
    """The part whose share of a draw by two faults went with what is out; None where none did."""
    parked = case.ready.parked
    place = _most_beyond(case.nets, parked, case.ready.tree)
    at = place.place if place is not None else ""
    at_once = case.ready.handling.stops_at_once
    return settled_by(case.tried, at, evidence.out, case.faults, parked.platform, parked.own_battery, at_once)


def _joint(ready: Prepared, together: Sequence[Together], alone: int, explanations: Listed) -> JointFaults | None:
    """What the listed pairs bring, for those that together bring more than the two apart; None where there are none.
    They are numbered after the faults that are weighed `alone`."""
    listed_pairs = set(map(frozenset, zip(explanations.first.tolist(), explanations.second.tolist(), strict=True)))
    its = [
        (frozenset((pair.first, pair.second)), pair.as_fault, ready.joint[pair.as_fault - alone])
        for pair in together
        if frozenset((pair.first, pair.second)) in listed_pairs
    ]
    if not its:
        return None
    faults = tuple(fault for _, _, fault in its)
    know = Expectations(ready.parked, ready.tree, faults)
    return JointFaults(know, {pair: n for n, (pair, _, _) in enumerate(its)}, {pair: row for pair, row, _ in its})


def _rereads(case: Case, explanations: Listed, again: Collection[str]) -> dict[str, Reread]:
    """Current readings that were taken once, as they were weighed; but no zero that the likeliest explanation only
    guesses to be wrong."""
    tables = by_label(case)
    likeliest = [n for n in (int(explanations.first[0]), int(explanations.second[0])) if n >= 0]
    believed = zeros_believed(case.currents, tables, case.faults, likeliest).difference(again)
    found = {}
    for sighting in case.currents:
        place = sighting.label.place
        if place not in case.nets.read_twice and place not in believed:
            found[place] = Reread(tables[sighting.label], sighting.by_slip)
    return found


def _in_doubt_since(evidence: Evidence, nets: Netted) -> tuple[str, ...]:
    """The places that drew before something was mended whose current may have flowed there, the largest first: until
    they are read again nobody knows how much of that is left."""
    its = [r for r in evidence.from_before if r.shows_current and nets.readings.get(r.place) is r]
    return tuple(reading.place for reading in sorted(its, key=lambda r: -(r.amps or 0.0)))
