"""What takes a feed away again: a contact that is closed at rest on its way, a relay that opens, an input that must be
off.

Where something is live in a condition, one thing more may make it dead: main beam takes away dipped beam. Each step of
the way that nothing had to be done for is asked what opens it, and the state is evaluated.
"""

from collections.abc import Iterable, Iterator
from itertools import combinations, islice
from typing import NamedTuple

from circuitmap.power.controls import Wanted
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO, YES
from circuitmap.power.several import several_changes
from circuitmap.power.survey import Changes, Side, StateChange, Survey
from circuitmap.power.why import why
from circuitmap.wiring.parts import Switch, Terminal

_MOST_DEEP = 3
"""Relays behind one another whose own feed is asked about (judgement)."""
_MOST_TRIED = 24
"""Changes that are tried for one condition (judgement)."""
_MOST_PAIRED = 4
"""Changes for each side of a coil that are tried with those of its other side (judgement)."""
_MOST_CONDITIONS = 12
"""Conditions that are looked at for one terminal (judgement)."""


class TakenAway(NamedTuple):
    """What makes a terminal dead in all conditions that it goes together with, and in some of them only."""

    always: tuple[Changes, ...] = ()
    sometimes: tuple[Changes, ...] = ()


def taken_away(survey: Survey, terminal: Terminal, conditions: Iterable[Changes]) -> TakenAway:
    """What takes a terminal's feed away in these conditions."""
    looked_at = [its for its in _unlike(conditions) if survey.has(its)]
    found: dict[Changes, None] = {}
    for changes in looked_at:
        then = survey.after(changes)
        for more in islice(_openers(survey, then, terminal), _MOST_TRIED):
            rest = tuple(its for its in more if its not in changes)
            if rest and rest not in found and _dead(survey, terminal, changes, rest):
                alone = [(its,) for its in rest if len(rest) > 1 and _dead(survey, terminal, changes, (its,))]
                found[alone[0] if alone else rest] = None
    smallest = [its for its in found if not any(set(other) < set(its) for other in found)]
    always: list[Changes] = []
    sometimes: list[Changes] = []
    for more in smallest:
        beside = [changes for changes in looked_at if _goes_with(changes, more)]
        (always if all(_dead(survey, terminal, its, more) for its in beside) else sometimes).append(more)
    again = _live_together(survey, terminal, looked_at, always)
    certain = tuple(its for its in always if its not in again)
    return TakenAway(certain, (*sometimes, *(its for its in always if its in again)))


def _live_together(
    survey: Survey, terminal: Terminal, conditions: Iterable[Changes], found: Iterable[Changes]
) -> set[Changes]:
    """Those of which two together leave it live: two change-over switches at the two ends of a corridor."""
    again: set[Changes] = set()
    for one, two in combinations(found, 2):
        if one not in again or two not in again:
            for changes in conditions:
                both = tuple(dict.fromkeys((*changes, *one, *two)))
                fit = _goes_with(changes, one) and _goes_with((*changes, *one), two) and survey.has(both)
                if fit and survey.after(both).supply[terminal] != NO:
                    again |= {one, two}
                    break
    return again


def _unlike(conditions: Iterable[Changes]) -> list[Changes]:
    """Of conditions that differ by a position only the first one."""
    found: dict[tuple[tuple[str, str], ...], Changes] = {}
    for changes in conditions:
        found.setdefault(tuple((its.kind, its.name) for its in changes), changes)
    return list(found.values())[:_MOST_CONDITIONS]


def _goes_with(changes: Changes, more: Changes) -> bool:
    """Whether both can be at once."""
    positions = {(its.kind, its.name): its.position for its in changes}
    return all(positions.get((its.kind, its.name), its.position) == its.position for its in more)


def _dead(survey: Survey, terminal: Terminal, changes: Changes, more: Changes) -> bool:
    if not _goes_with(changes, more):
        return False
    both = (*changes, *(its for its in more if its not in changes))
    return survey.has(both) and survey.after(both).supply[terminal] == NO


def _openers(survey: Survey, then: Powered, terminal: Terminal) -> Iterator[Changes]:
    """What opens a contact on the way to a terminal in this state, or takes away what holds one closed."""
    number, platform, plan = survey.circuit.number, survey.circuit.platform, survey.plan
    todo: list[tuple[Terminal, Side, int]] = [(terminal, "supply", 0)]
    seen: set[str] = set()
    for end, side, depth in todo:
        contacts = [its for its in why(then, end, side).contacts if its not in seen]
        seen.update(contacts)
        for link in (link for contact in contacts for link in survey.circuit.told_apart(contact)):
            its = survey.circuit.links[link]
            if isinstance(platform.parts[its.part], Switch):
                if not _is_main_switch(survey, its.part):
                    yield from _turns(survey, its.part, its.closed_in, closing=False)
            elif link in plan.relay_contacts:
                planned = plan.relay_contacts[link]
                for plus, minus in _coil_ends(survey, planned.relay):
                    if planned.energised and depth < _MOST_DEEP:
                        todo += [(plus, "supply", depth + 1), (minus, "ground", depth + 1)]
                    elif not planned.energised:
                        yield from _both(survey, then, plus, minus, depth)
                        yield from _pulls_in(survey, planned.relay)
            elif link in plan.outputs:
                sleeper, output = plan.outputs[link]
                if depth < _MOST_DEEP:  # without its own supply or ground a module drives nothing
                    for path in plan.sleepers[sleeper].paths:
                        ends = plan.paths[path]
                        todo += [
                            (survey.circuit.nodes[ends.supply], "supply", depth + 1),
                            (survey.circuit.nodes[ends.ground], "ground", depth + 1),
                        ]
                if output.when != "live":
                    continue
                ins = [Terminal(output.module, pin) for pin in output.inputs]
                todo += [(pin, "supply", depth + 1) for pin in ins if pin in number and depth < _MOST_DEEP]
                for pin in (Terminal(output.module, its) for its in output.without):
                    yield from _closers(survey, then, pin, "supply", depth) if pin in number else ()


def _pulls_in(survey: Survey, relay: int) -> Iterator[Changes]:
    """One thing, or several together, that pulls a relay in from the parked vehicle."""
    kept = survey.derived(_Pulled).by_relay
    if relay not in kept:
        kept[relay] = []
        for coil in survey.plan.coils_of[relay]:
            plus, minus, _ = survey.parked.nets.coils[coil]
            goals: list[Wanted] = [("supply", plus), ("ground", minus)]
            kept[relay].append(several_changes(survey, goals, lambda its: its.settled.standing.relays[relay]))
    yield from (changes for changes in kept[relay] if changes)


class _Pulled:
    """What pulls in the relays of one survey, as far as it was asked for."""

    def __init__(self, _survey: Survey) -> None:
        self.by_relay: dict[int, list[Changes]] = {}


def _coil_ends(survey: Survey, relay: int) -> Iterator[tuple[Terminal, Terminal]]:
    nodes = survey.circuit.nodes
    for coil in survey.plan.coils_of[relay]:
        yield nodes[survey.plan.coils[coil].plus], nodes[survey.plan.coils[coil].minus]


def _is_main_switch(survey: Survey, name: str) -> bool:
    """Whether a switch does nothing but cut off what is otherwise live in the parked vehicle: its opening is said
    where the ways are told, not at each thing behind it."""
    contacts = [its for its in survey.plan.switch_contacts.items() if its[1].switch == name]
    live, net_of = survey.parked.settled.reach.supply, survey.parked.nets.net_of
    return all(
        not its.is_key and its.rest in its.closed_in and live[net_of[survey.circuit.ends[link][0]]]
        for link, its in contacts
    )


def _closers(survey: Survey, then: Powered, end: Terminal, side: Side, depth: int) -> Iterator[Changes]:
    """What makes a terminal live (or grounded) in this state by closing one contact."""
    plan = survey.plan
    contacts = why(then, end, side).open_contacts
    for link in (link for contact in contacts for link in survey.circuit.told_apart(contact)):
        its = survey.circuit.links[link]
        if link in plan.switch_contacts:
            yield from _turns(survey, its.part, its.closed_in, closing=True)
        elif link in plan.relay_contacts and depth < _MOST_DEEP and plan.relay_contacts[link].energised:
            for plus, minus in _coil_ends(survey, plan.relay_contacts[link].relay):
                yield from _both(survey, then, plus, minus, depth + 1)
        elif link in plan.outputs:
            output = plan.outputs[link][1]
            if output.when == "request":
                yield (StateChange("output", output.contact),)
            elif output.when == "in":
                yield from ((its,) for its in survey.key_changes if its.position in output.positions)
            elif output.when == "awake":
                networks = survey.circuit.platform.networks_of.get(output.module, ())
                yield from ((StateChange("network", network),) for network in networks)
                yield (StateChange("module", output.module),)
            elif output.when == "live" and depth < _MOST_DEEP:
                for pin in (Terminal(output.module, its) for its in output.inputs):
                    yield from _closers(survey, then, pin, "supply", depth + 1)


def _both(survey: Survey, then: Powered, plus: Terminal, minus: Terminal, depth: int) -> Iterator[Changes]:
    """What gives a coil the side, or both sides, that it lacks in this state."""
    if then.supply[minus] == YES:  # a coil works either way round
        plus, minus = minus, plus
    feeds = [()] if then.supply[plus] == YES else list(_closers(survey, then, plus, "supply", depth))
    grounds = [()] if then.ground[minus] == YES else list(_closers(survey, then, minus, "ground", depth))
    for one in feeds[:_MOST_PAIRED]:
        for other in grounds[:_MOST_PAIRED]:
            both = tuple(dict.fromkeys((*one, *other)))
            if both:
                yield both


def _turns(survey: Survey, switch: str, closed_in: tuple[str, ...], closing: bool) -> Iterator[Changes]:
    """The positions in which a contact is closed, or those in which it is open."""
    for its in (*survey.key_changes, *survey.other_changes):
        if its.kind in ("key", "switch") and its.name == switch and (its.position in closed_in) is closing:
            yield (its,)
