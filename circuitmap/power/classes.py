"""Constant, switched, message-only or unknown: what kind of load each one is, and what turns it off."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from circuitmap.circuit.links import Circuit, LoadPins
from circuitmap.power.alternatives import Things, alternatives
from circuitmap.power.controls import Wanted
from circuitmap.power.equipment import not_said
from circuitmap.power.evaluate import Powered
from circuitmap.power.feeds import Feed, feeds_in, survey_with
from circuitmap.power.rests_on import unknown_of_load
from circuitmap.power.survey import Changes, Survey
from circuitmap.power.why import Reason, why
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Condition, Load, Terminal

Class = Literal["constant", "switched", "message-only", "unknown", "not fitted"]


@dataclass(frozen=True, slots=True)
class PinFeed:
    """A supply pin of a load: when it is live, through which contacts and outputs, and what turns it off.

    `way` is the way in the first state in which it is live. `turned_off_by` are the contacts and outputs on it that can
    open: for a pin that is live when parked, those closed at rest; otherwise those that are open at rest.
    """

    terminal: Terminal
    feed: Feed
    way: Reason
    turned_off_by: tuple[str, ...]

    @property
    def through(self) -> tuple[str, ...]:
        return self.way.contacts


@dataclass(frozen=True, slots=True)
class LoadClass:
    """What kind of load this is, all of its supply pins and its ground considered.

    `constant`: it draws when parked and nothing turns it off. `switched`: it draws only in conditions. `message-only`:
    fed when parked, and only a network, wake line or wake pin puts it to sleep. `unknown`: its kind rests on something
    that is not known. `not fitted`: this vehicle does not have it.

    `drawn_in` are alternatives of changes in which it draws for certain, `perhaps_in` in which it may; both are empty
    for a switched load that takes more than two changes at once. `cut_off`: not everything was tried that might make it
    draw, or not with that equipment, because there is too much. `other_ways`: more than two changes at once may make it
    draw as well. `ground_switched`: its feed is always there and its ground is not (a door lamp). `ground_through` are
    the contacts on its way to ground. `turned_off_by` are contacts, outputs, networks, wake lines or wake pins.
    """

    name: str
    its: Class
    pins: tuple[PinFeed, ...]
    turned_off_by: tuple[str, ...] = ()
    drawn_in: tuple[Changes, ...] = ()
    perhaps_in: tuple[Changes, ...] = ()
    ground_switched: bool = False
    ground_through: tuple[str, ...] = ()
    unknown: tuple[Unknown, ...] = ()
    if_fitted: Condition = ()
    cut_off: bool = False
    other_ways: bool = False


def classes_of(circuit: Circuit, fitting: Fitting) -> Mapping[str, LoadClass]:
    """The class of every load, by name; a load of equipment that nobody has confirmed or denied is looked at as if it
    were fitted."""
    by_equipment: dict[Condition, list[str]] = {}
    found: dict[str, LoadClass] = {}
    for name in circuit.loads:
        condition = circuit.platform.parts[name].condition
        if holds(condition, fitting) == Answer.NO:
            found[name] = LoadClass(name, "not fitted", ())
        else:
            by_equipment.setdefault(not_said(circuit, name, fitting), []).append(name)
    for equipment in sorted(by_equipment, key=bool):
        names = by_equipment[equipment]
        survey, seen_with = survey_with(circuit, fitting, equipment)
        pins = [pin for name in names for pin in circuit.loads[name].supplies if pin in circuit.number]
        found |= _classes(survey, names, feeds_in(survey, pins, seen_with), seen_with, seen_with != equipment)
    return {name: found[name] for name in circuit.loads}


def _classes(
    survey: Survey, names: list[str], feeds: Mapping[Terminal, Feed], equipment: Condition, cut_off: bool
) -> dict[str, LoadClass]:
    parked = survey.parked
    number = {name: n for n, name in enumerate(survey.plan.loads)}
    idle = {number[name]: _wanted(survey, number[name]) for name in names if not parked.draws[number[name]]}
    goals = {load: _goals(survey, load) for load in idle}
    found = alternatives(survey, Things(idle, _drawing, lambda beside: beside.loads, goals, _draws_passed_on))
    return {
        name: _class(survey, name, feeds, *found.of(number[name]), equipment, cut_off or number[name] in found.cut_off)
        for name in names
    }


def _drawing(powered: Powered) -> Callable[[int], int]:
    return powered.draws_of


def _draws_passed_on(powered: Powered, load: int) -> bool:
    return any(path in powered.settled.reach.in_series for path in powered.plan.paths_of[load])


def _wanted(survey: Survey, load: int) -> list[Wanted]:
    wanted: list[Wanted] = []
    for path in survey.plan.paths_of[load]:
        supply, ground, _ = survey.parked.nets.paths[path]
        wanted += [("supply", supply), ("ground", ground)]
        if survey.plan.paths[path].either_way:
            wanted += [("supply", ground), ("ground", supply)]
        for node, by_ground, known in survey.plan.paths[path].controls:
            if known:
                wanted.append(("ground" if by_ground else "supply", survey.parked.nets.net_of[node]))
        wanted += [("supply", survey.parked.nets.net_of[node]) for node in survey.plan.paths[path].needs]
    return wanted


def _goals(survey: Survey, load: int) -> list[Wanted]:
    """What must all hold for a load to draw on the first of its paths."""
    goals: list[Wanted] = []
    for path in survey.plan.paths_of[load][:1]:
        supply, ground, _ = survey.parked.nets.paths[path]
        goals += [("supply", supply), ("ground", ground)]
        for node, by_ground, known in survey.plan.paths[path].controls[:1]:
            if known:
                goals.append(("ground" if by_ground else "supply", survey.parked.nets.net_of[node]))
        goals += [("supply", survey.parked.nets.net_of[node]) for node in survey.plan.paths[path].needs]
    return goals


def _class(
    survey: Survey,
    name: str,
    feeds: Mapping[Terminal, Feed],
    certain: tuple[Changes, ...],
    perhaps: tuple[Changes, ...],
    equipment: Condition,
    cut_off: bool,
) -> LoadClass:
    parked = survey.parked
    power = parked.loads[name]
    pins = tuple(_pin(survey, terminal, feeds) for terminal in survey.circuit.loads[name].supplies)
    first = (certain or perhaps or ((),))[0]
    drawing = survey.after(first) if not power.draws and survey.has(first) else parked
    ground = _ground(drawing, survey.circuit.loads[name])
    ground_switched = power.supply == Answer.YES and power.ground == Answer.NO
    unknown = (
        *(Unknown("option not said", need.option) for need in equipment),
        *unknown_of_load(parked, name, (*(pin.way for pin in pins), ground)),
    )
    kind: Class
    if power.draws == Answer.YES:
        asleep_by = _put_to_sleep_by(survey, name)
        kind = "message-only" if asleep_by else "constant"
        off = asleep_by or tuple(dict.fromkeys(its for pin in pins if pin.feed.always for its in pin.turned_off_by))
    elif power.draws == Answer.NO and (certain or perhaps):
        kind = "switched"
        side = ground.contacts if ground_switched else ()
        off = tuple(dict.fromkeys([*(its for pin in pins if not pin.feed.always for its in pin.turned_off_by), *side]))
    elif power.draws == Answer.NO and (contacts := _contacts_of_both_sides(survey, name)):
        kind, off = "switched", contacts
    else:
        kind, off = "unknown", ()
    return LoadClass(
        name=name,
        its=kind,
        pins=pins,
        turned_off_by=off,
        drawn_in=certain,
        perhaps_in=perhaps,
        ground_switched=ground_switched,
        ground_through=ground.contacts,
        unknown=unknown,
        if_fitted=equipment,
        cut_off=cut_off,
    )


def _pin(survey: Survey, terminal: Terminal, feeds: Mapping[Terminal, Feed]) -> PinFeed:
    feed = feeds.get(terminal, Feed("unknown"))
    changes = (feed.conditions or feed.perhaps or ((),))[0] if feed.kind == "in" else ()
    way = why(survey.after(changes if survey.has(changes) else ()), terminal)
    if feed.kind == "in":
        closed = survey.parked.contacts
        off = tuple(contact for contact in way.contacts if closed[contact] != Answer.YES)
    else:
        off = way.contacts
    return PinFeed(terminal, feed, way, off)


def _contacts_of_both_sides(survey: Survey, name: str) -> tuple[str, ...]:
    """The contacts that would have to close for a load to draw, when no two changes do it; empty if nothing would."""
    for path in survey.plan.paths_of[survey.plan.loads.index(name)]:
        supply, ground, _ = survey.parked.nets.paths[path]
        sides = survey.contacts_to("supply", supply), survey.contacts_to("ground", ground)
        if sides[0] is not None and sides[1] is not None:
            return tuple(dict.fromkeys((*sides[0], *sides[1])))
    return ()


def _ground(powered: Powered, pins: LoadPins) -> Reason:
    """The best way to ground of a load's ground pins."""
    return max((why(powered, pin, "ground") for pin in pins.grounds), key=lambda reason: reason.answer)


def _put_to_sleep_by(survey: Survey, name: str) -> tuple[str, ...]:
    """The networks, wake lines and wake pins that wake a module; only modules sleep."""
    part = survey.circuit.platform.parts[name]
    if not isinstance(part, Load) or part.kind != "module":
        return ()
    number = survey.plan.sleeper_number[name]
    lines = survey.parked.run.lines
    networks = [lines.lines[line].network for line, _ in lines.lines_of[number]]
    pins = [str(Terminal(name, pin)) for pin in part.pins_with("wake")]
    return tuple(dict.fromkeys((*networks, *pins)))
