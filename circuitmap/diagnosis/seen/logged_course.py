"""What a log's course says of each fault: a draw that comes and goes is hardly a lamp that burns all night.

All chances are judgement. They tell kinds of fault apart, and no more: how much flowed is weighed as a current.
"""

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.at_work import switches_itself
from circuitmap.diagnosis.faults.brief_inputs import awake_by_it, brief_pins
from circuitmap.diagnosis.faults.candidates_waking import is_wake_wire
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.seen.observed import LoggedCourse
from circuitmap.diagnosis.seen.whose import asleep_then
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.logged_night import by_the_clock
from circuitmap.evidence.logs import ticks_like
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.parts import Load

Course = Literal["comes and goes", "by the clock", "like a thermostat", "came later", "ran on"]


class _Chances(NamedTuple):
    comes_and_goes: float
    thermostat: float
    came_later: float
    ran_on: float
    by_the_clock: float


_COURSES: Mapping[Kind, _Chances] = {
    "added": _Chances(0.35, 0.50, 0.25, 0.15, 0.35),
    "keeps-awake": _Chances(0.50, 0.15, 0.20, 0.30, 0.50),
    "wrong-input": _Chances(0.40, 0.10, 0.20, 0.35, 0.25),
    "by-itself": _Chances(0.30, 0.40, 0.20, 0.20, 0.30),
    "lamp": _Chances(0.03, 0.02, 0.05, 0.15, 0.01),
    "contact": _Chances(0.15, 0.30, 0.15, 0.35, 0.05),
    "coil": _Chances(0.10, 0.10, 0.10, 0.35, 0.02),
    "chafed": _Chances(0.10, 0.02, 0.10, 0.03, 0.02),
    "unfused": _Chances(0.02, 0.02, 0.02, 0.02, 0.01),
    "extra-fuse": _Chances(0.05, 0.10, 0.05, 0.05, 0.02),
    "none-of-these": _Chances(0.20, 0.20, 0.15, 0.20, 0.20),
}
"""Chance that a fault of this kind shows itself so in a night's log, and not by an even current. By the clock: a wire
that rubs, or a contact that sticks, hardly keeps time."""
NOTHING = _Chances(0.20, 0.20, 0.15, 0.20, 0.20)
"""The same where nothing is wrong: neither more nor less than of what nobody knows, so that it decides nothing."""
BY_ITS_OWN_SWITCH = _Chances(0.80, 0.90, 0.30, 0.20, 0.50)
"""The same of a load that a thermostat inside switches: it is made to come and go."""
BY_A_BRIEF_INPUT = _Chances(0.90, 0.10, 0.05, 0.35, 0.50)
"""The same of an input that wakes for some minutes only: it draws no other way than by coming again and again."""
SAME_LENGTH, OTHER_LENGTH, LENGTH_OFF = 0.6, 0.35, 0.2
"""Chance that the draw is up for as long each time as a pin keeps awake that a fault comes in at, and that it is so by
accident of something else; within a fifth, for what somebody writes down (judgement)."""
ON_REQUEST, BY_ITS_OWN_CLOCK = 0.40, 0.60
"""Chance that it comes by the clock where it is a module's own output that does so, which its module times; and where
it is a part of which it is typed in that it wakes by its own clock."""
LEAST_EVEN = 4
"""So many times at an even distance it is the clock (judgement)."""
SAME_STEP, OTHER_STEP = 0.85, 0.35
"""Chance that an event is as high as a step of falling asleep that is its own network's, by its time, and that it is so
by accident of something else (measured on simulated nights: 86 % of such matches have no rival)."""
ROSE_THERE, ROSE_ELSEWHERE = 0.90, 0.10
"""Chance that the place that rises first is one on the way of the draw, or is not."""


def course_of(reading: Reading) -> Course | None:
    """How the draw came; None where the log says nothing of that, or there is none."""
    log = reading.log
    if log is None or log.state in ("one", "floor"):
        return None
    if log.state == "stayed on":
        return "came later"
    if log.state == "ran on":
        return "ran on"
    if log.kind is not None and log.kind.rhythm == "thermostat":
        return "like a thermostat"
    return "by the clock" if log.keeps_time else "comes and goes"


def courses_seen(
    readings: Sequence[Reading], faults: Sequence[Fault], parked: Parked
) -> list[StateSighting[LoggedCourse]]:
    """The latest log of the parked vehicle at each place, if it shows a draw that comes and goes, or came later."""
    latest = {r.place: r for r in readings if r.log is not None and r.speaks == "parked" and not r.without}
    found = []
    for reading in latest.values():
        course = course_of(reading)
        if course is None:
            continue
        whose = _whose(reading, parked)
        as_long = _as_long(reading, faults, parked) if course in ("comes and goes", "by the clock") else {}
        pins = tuple(sorted({pin for its in as_long.values() for pin in its}))
        label = LoggedCourse(reading, course, whose, pins, (reading.log.up_for or 0.0) if reading.log and pins else 0.0)
        chances = {n: _chance(f, reading, course, whose, parked) for n, f in enumerate(faults)}
        if as_long:
            same = {n: SAME_LENGTH if n in as_long else OTHER_LENGTH for n in chances}
            chances = {n: round(its * same[n], 6) for n, its in chances.items()}
        order = sorted(set(chances.values()))
        rank = {chance: number for number, chance in enumerate(order)}
        touched = {number: rank[chance] for number, chance in chances.items()}
        found.append(StateSighting(label, _of(NOTHING, course), tuple(order), touched))
    return found


def _whose(reading: Reading, parked: Parked) -> tuple[str, ...]:
    """Whose the event is: by its clock, or by the step of the same night that is as high, by when that fell away."""
    log = reading.log
    assert log is not None
    kind = log.kind
    if log.night is None or kind is None:
        return ()
    by_clock = by_the_clock(parked.platform, kind)
    step = log.night.as_fell(kind.amps)
    return by_clock or (asleep_then(parked.platform, step.minutes) if step is not None else ())


def _as_long(reading: Reading, faults: Sequence[Fault], parked: Parked) -> dict[int, tuple[str, ...]]:
    """The faults by which their module is awake for just as long as the draw is up, each with the pins that say so."""
    up_for = reading.log.up_for if reading.log is not None else None
    if up_for is None:
        return {}
    found = {}
    for number, fault in enumerate(faults):
        awake = awake_by_it(parked.platform, fault)
        if awake is not None and awake.low * (1.0 - LENGTH_OFF) <= up_for <= awake.high * (1.0 + LENGTH_OFF):
            found[number] = brief_pins(parked.platform, fault)
    return found


def _is_own_switch(fault: Fault, parked: Parked) -> bool:
    return fault.kind == "by-itself" and fault.works and switches_itself(parked.platform.parts.get(fault.part))


def _chance(fault: Fault, reading: Reading, course: Course, whose: tuple[str, ...], parked: Parked) -> float:
    its = _of(BY_ITS_OWN_SWITCH if _is_own_switch(fault, parked) else _COURSES[_shows_as(fault)], course)
    if course == "by the clock":
        its = max(its, _keeps_time(fault, parked, reading.log.apart if reading.log is not None else None))
    if course in ("comes and goes", "by the clock") and brief_pins(parked.platform, fault):
        its = max(its, _of(BY_A_BRIEF_INPUT, course))
    if whose:
        same = fault.module in whose or fault.part in whose or not fault.wakes.isdisjoint(whose)
        its *= SAME_STEP if same else OTHER_STEP
    log = reading.log
    if log is not None and log.rose_first:
        there = any(log.rose_first in flow.way.places for flow in fault.brings)
        its *= ROSE_THERE if there else ROSE_ELSEWHERE
    return round(its, 6)


def _keeps_time(fault: Fault, parked: Parked, apart: float | None) -> float:
    """What a fault has that keeps time: a module's own output, a part that wakes by its own clock as often as it came,
    a load behind what sticks that switches itself, or wakes by such a clock."""
    parts = parked.platform.parts
    own = parts.get(fault.module or fault.part)
    if isinstance(own, Load) and ticks_like(own, apart) and fault.kind in ("keeps-awake", "by-itself"):
        return BY_ITS_OWN_CLOCK
    if fault.kind == "contact" and fault.contact in {output.contact for output in parked.platform.outputs}:
        return ON_REQUEST
    behind = (parts.get(owner) for owner in fault.owners)
    if any(switches_itself(its) or (isinstance(its, Load) and ticks_like(its, apart)) for its in behind):
        return _COURSES[fault.kind].comes_and_goes
    return 0.0


def _shows_as(fault: Fault) -> Kind:
    """A wire that wakes a module by rubbing wakes it each time that it touches, as an input would; one that only lets
    current through does so all night, and so does an output."""
    if fault.partly:
        return "unfused"
    return "wrong-input" if is_wake_wire(fault) else fault.kind


def _of(chances: _Chances, course: Course) -> float:
    match course:
        case "comes and goes":
            return chances.comes_and_goes
        case "by the clock":
            return chances.by_the_clock
        case "like a thermostat":
            return chances.thermostat
        case "came later":
            return chances.came_later
        case "ran on":
            return chances.ran_on
