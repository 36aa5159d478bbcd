"""Was a reading made while the batteries gave what they give by the latest total?

What was read together with a battery has its moment's total beside it. What was read alone has the one that stood then:
it counts where two steady looks say that the total has changed since. Where the draw comes and goes, only what was read
together with a battery, or is more than all of the floor, tells whether it was up.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import hypot
from typing import Literal, NamedTuple

from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.evidence.log_states import state_at
from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import AtOtherHeight, Given, Reading
from circuitmap.evidence.tries import has_fallen

# The total may wander by this much between readings of one state (judgement).
STEADY_SHARE, STEADY_STEPS = 0.05, 3.0

WhyOther = Literal["other-state", "quiet-phase", "event-phase", "phase-unknown"]


class OtherState(NamedTuple):
    """Why a reading is of another state, and what the battery gave then, in A, where that is known."""

    why: WhyOther
    total: float | None = None


def of_another_state(
    reading: Reading, totals: Mapping[str, Reading], stood: Mapping[str, Reading], tree: PlaceTree
) -> OtherState | None:
    """Why a reading does not belong to the state of the `totals`, the latest at each battery; None if it does. `stood`
    is what was read at each battery before it."""
    if any(reading is total for total in totals.values()):
        return None
    periodic = [log for total in totals.values() if (log := _coming_and_going(total)) is not None]
    if periodic and reading.during:
        return OtherState("quiet-phase") if reading.during == "floor" else None
    floors = [log for total in totals.values() if (log := total.log) is not None and log.floor_draws]
    if floors and reading.during == "event":  # what shows nothing while more flows shows no more in between
        return OtherState("event-phase") if reading.shows_current else None
    if tree.is_battery(reading.place):
        return None
    now = _at_its_batteries(reading, totals, tree)
    given = _given(reading, now, tree)
    for place, then in given.items():
        log = _coming_and_going(now[place])
        if log is not None:
            if then.amps < log.mean:
                return OtherState("quiet-phase", then.amps)
        elif _is_up(then, now[place]) and not reading.during:
            if reading.shows_current:
                return OtherState("event-phase", then.amps)
        elif not _is_steady(then, now[place]) and (reading.shows_current or then.amps <= (now[place].amps or 0.0)):
            return OtherState("other-state", then.amps)
    if given:
        return None
    if periodic:
        floor = max(log.floor for log in periodic)
        return OtherState("phase-unknown") if reading.log is None and not _is_more_than(reading, floor) else None
    before = _together(stood, tree)
    changed = (
        before[place] for place, its in now.items() if place in before and _has_changed(reading, before[place], its)
    )
    return next((OtherState("other-state", one.amps) for one in changed), None)


def at_the_height_of(
    reading: Reading, totals: Mapping[str, Reading], stood: Mapping[str, Reading], tree: PlaceTree
) -> Reading:
    """A reading made in an event of another height than the latest one: that event went the same way, so what carried
    all of it carries all of this one, and what carried nothing carries no more of this one than could hide then, in
    proportion. As it is where both were as high, or nobody read how high they were."""
    if reading.during != "event" or tree.is_battery(reading.place) or reading.change:
        return reading
    now = _at_its_batteries(reading, totals, tree)
    given, before = _given(reading, now, tree), _together(stood, tree)
    for place, its in now.items():
        then = given[place].amps if place in given else None
        last = before.get(place)
        if then is None and last is not None and last.during == "event":
            then = last.amps
        if its.during != "event" or its.log is not None or its.amps is None or then is None:
            continue
        of_then = replace(its, amps=then)
        if not (has_fallen(of_then, its) or has_fallen(its, of_then)) or min(then, its.amps) <= 0.0:
            continue
        share, off = its.amps / then, 2.0 * reading.zero
        more, draws = max(share, 1.0), reading.shows_current
        low = max(reading.lowest - off, 0.0) * min(share, 1.0) if draws else (reading.lowest - off) * more
        height = AtOtherHeight(reading.amps, then, low, (reading.highest + off) * more)
        return replace(reading, amps=None, draws=draws, height=height)
    return reading


def _coming_and_going(total: Reading) -> Log | None:
    return total.log if total.log is not None and total.log.comes_and_goes else None


def _is_up(then: Given, now: Reading) -> bool:
    """Whether a battery gave as much as the events that come over a floor which is the draw itself."""
    off = then.meter.counts * then.meter.step + 2.0 * then.meter.zero
    return now.log is not None and now.log.floor_draws and state_at(then.amps, off, now.log) == "event"


def _together(read: Mapping[str, Reading], tree: PlaceTree) -> dict[str, Reading]:
    """What was read at batteries; those that share the current are one place, and count where all of them were read."""
    found: dict[str, Reading] = {}
    for name, reading in read.items():
        place = tree.joined.get(name, name)
        names = tree.members_of(place) if place in tree.joined.values() else (name,)
        if place not in found and all(one in read and read[one].amps is not None for one in names):
            found[place] = replace(reading, place=place, amps=sum(read[one].amps or 0.0 for one in names))
    return found


def _at_its_batteries(reading: Reading, totals: Mapping[str, Reading], tree: PlaceTree) -> Mapping[str, Reading]:
    """The totals of the batteries that feed a place; all of them where none is known to."""
    all_of_them, above = _together(totals, tree), tree.above(reading.place)
    return {place: total for place, total in all_of_them.items() if place in above} or all_of_them


def _given(reading: Reading, now: Mapping[str, Reading], tree: PlaceTree) -> Mapping[str, Given]:
    """What those batteries gave by the same look."""
    if not reading.given and reading.total is not None and len(now) == 1:
        place, total = next(iter(now.items()))
        return {place: Given(place, reading.total, total.meter)}
    found: dict[str, Given] = {}
    for one in reading.given:
        place = tree.joined.get(one.battery, one.battery)
        names = tree.members_of(place) if place in tree.joined.values() else (one.battery,)
        its = [other.amps for other in reading.given if other.battery in names]
        if place in now and len(its) == len(names):
            found[place] = Given(place, sum(its), one.meter)
    return found


def _is_steady(then: Given, now: Reading) -> bool:
    amps = now.amps or 0.0
    step = max(now.half_step, then.meter.counts * then.meter.step)
    zero = 0.0 if then.meter.name == now.meter.name else 2.0 * hypot(then.meter.zero, now.zero)
    return abs(then.amps - amps) <= max(STEADY_SHARE * abs(amps), STEADY_STEPS * step * 2.0) + zero


def _is_more_than(reading: Reading, floor: float) -> bool:
    """Whether a place shows more than all that flows at the floor: then the draw was up."""
    return reading.shows_current and (reading.amps is None or reading.lowest - 2.0 * reading.zero > floor)


def _has_changed(reading: Reading, before: Reading, now: Reading) -> bool:
    """Whether the total has changed since a place was read, as two steady looks at it say. A place that showed nothing
    shows no more while less flows."""
    if not (before.watched and now.watched) or before.log is not None or now.log is not None:
        return False
    return has_fallen(now, before) or (has_fallen(before, now) and reading.shows_current)
