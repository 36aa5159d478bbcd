"""Whether something may be live by more changes at once than are tried: a third switch, a flasher, a stalk.

Every single change is tried, and every two where no single one does it; what takes three is not. What is live while a
network is awake is so, too, by every two changes that wake a member of it. Where a way leads to a terminal that no
alternative which was found accounts for, its contacts are closed one after another; what is then live is one more
alternative. Where that does not come out the answer says that there may be other ways.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.path import Path
from circuitmap.power.accounted import all_conditions
from circuitmap.power.classes import LoadClass
from circuitmap.power.controls import Wanted
from circuitmap.power.evaluate import Powered
from circuitmap.power.feeds import Feed, feeds_in, survey_with
from circuitmap.power.nets import NO, YES
from circuitmap.power.several import changes_along, in_other_positions
from circuitmap.power.survey import Changes, Survey
from circuitmap.power.taken_away import taken_away
from circuitmap.power.why import why
from circuitmap.wiring.parts import Condition, Load, Relay, Terminal

_MOST_FOLLOWED = 6
"""Ways whose contacts are closed one after another, for one terminal (judgement: nobody reads more conditions)."""
_MOST_RELAYS = 3
"""Relays whose coils are looked at, for one terminal (judgement)."""


def with_other_ways(feeding: Feeding, feeds: Mapping[Terminal, Feed]) -> Mapping[Terminal, Feed]:
    """The feeds with the other ways as conditions, and `other_ways` set where there may be more."""
    coils: _Coils = {}
    return {
        terminal: _but_not(
            feeding, terminal, _by_account(feeding, terminal, _with_others(feeding, terminal, feed, coils))
        )
        for terminal, feed in feeds.items()
    }


_Coils = dict[tuple[Terminal, Condition], tuple[Changes, ...]]
"""For the sides of coils and the wake pins that were looked at, with what equipment, what makes them live."""


def _with_others(feeding: Feeding, terminal: Terminal, feed: Feed, coils: _Coils) -> Feed:
    return _by_coils(feeding, terminal, _by_wakers(feeding, terminal, _by_ways(feeding, terminal, feed), coils), coils)


def _by_account(feeding: Feeding, terminal: Terminal, feed: Feed) -> Feed:
    """With the conditions that are still missing; where these can't be told, it says that there may be more."""
    if feed.kind not in ("in", "more", "unknown") or feed.cut_off or (feed.kind == "unknown" and not feed.conditions):
        return feed
    survey, seen_with = survey_with(feeding.circuit, feeding.fitting, feed.if_fitted)
    if seen_with != feed.if_fitted:
        return feed
    goal: Wanted = "supply", survey.parked.nets.net_of[survey.circuit.number[terminal]]
    conditions, unclear = all_conditions(survey, goal, feed.conditions, lambda powered: powered.supply[terminal])
    kind = "in" if conditions and feed.kind == "more" else feed.kind
    or_perhaps = bool(feed.perhaps and conditions and not feed.conditions)
    return replace(feed, kind=kind, conditions=conditions, other_ways=unclear or or_perhaps)


def _but_not(feeding: Feeding, terminal: Terminal, feed: Feed) -> Feed:
    """With what takes the feed away."""
    conditions = ((),) if feed.kind == "always" else feed.conditions
    if not conditions or feed.cut_off:
        return feed
    survey, _ = survey_with(feeding.circuit, feeding.fitting, feed.if_fitted)
    found = taken_away(survey, terminal, conditions)
    return replace(feed, but_not=found.always, not_in_all=found.sometimes)


def _by_ways(feeding: Feeding, terminal: Terminal, feed: Feed) -> Feed:
    left = _left(feeding, terminal, feed)
    if not left:
        return feed
    survey, _ = survey_with(feeding.circuit, feeding.fitting, feed.if_fitted)
    added: dict[Changes, None] = {}
    unclear = len(left) > _MOST_FOLLOWED
    for path in left[:_MOST_FOLLOWED]:
        if any(survey.has(changes) and _conducts(survey.after(changes), path) for changes in added):
            continue

        def through_it(powered: Powered, path: Path = path) -> int:
            return min(powered.supply[terminal], *(powered.contacts[link.contact] for link in path.contacts))

        changes = changes_along(survey, _numbers(feeding, path), through_it)
        if not changes:
            unclear = True
        elif not any(set(known) <= set(changes) for known in (*feed.conditions, *added)):
            others = in_other_positions(survey, changes, through_it)
            added.update((its, None) for its in (changes, *others) if its not in feed.conditions)
    return replace(feed, conditions=(*feed.conditions, *added), other_ways=unclear)


def _by_wakers(feeding: Feeding, terminal: Terminal, feed: Feed, coils: _Coils) -> Feed:
    """With what takes more than one change to wake a member of the networks while which it is live."""
    networks = [changes[0].name for changes in feed.conditions if [its.kind for its in changes] == ["network"]]
    if feed.kind != "in" or not networks or feed.cut_off:
        return feed
    survey, _ = survey_with(feeding.circuit, feeding.fitting, feed.if_fitted)
    platform = feeding.circuit.platform
    members = [m for name in networks for m in platform.networks[name].members if m.waking != "listens"]
    added: dict[Changes, None] = {}
    for module in dict.fromkeys(member.part for member in members):
        for given in _waking(feeding, survey, module, feed.if_fitted, coils):
            if len(added) == _MOST_FOLLOWED or not survey.has(given):
                break
            known = _covered(given, (*feed.conditions, *added))
            if not known and survey.after(given).supply[terminal] == YES:
                added[given] = None
    return replace(feed, conditions=(*feed.conditions, *added)) if added else feed


def _waking(feeding: Feeding, survey: Survey, module: str, equipment: Condition, coils: _Coils) -> Iterator[Changes]:
    """Every two changes or more that make a wake pin of a module live."""
    part = feeding.circuit.platform.parts.get(module)
    for pin in part.pins_with("wake") if isinstance(part, Load) else ():
        end = Terminal(module, pin)
        if end not in feeding.circuit.number:
            continue
        if (end, equipment) not in coils:
            coils[end, equipment] = feeds_in(survey, [end], equipment)[end].conditions
        yield from (changes for changes in coils[end, equipment] if len(changes) > 1)


def _by_coils(feeding: Feeding, terminal: Terminal, feed: Feed, coils: _Coils) -> Feed:
    """With what else pulls in a relay on its ways: one way over a contact is many where its coil has several."""
    if feed.kind != "in" or not feed.conditions or feed.cut_off:
        return feed
    survey, _ = survey_with(feeding.circuit, feeding.fitting, feed.if_fitted)
    ways: dict[str, Path] = {}
    for path in feeding.supply.to(terminal).main[:_MOST_FOLLOWED]:
        for link in path.contacts if path.known else ():
            if link.energised:
                ways.setdefault(link.part, path)
    added: dict[Changes, None] = {}
    for relay, path in list(ways.items())[:_MOST_RELAYS]:

        def through_it(powered: Powered, path: Path = path) -> int:
            return min(powered.supply[terminal], *(powered.contacts[link.contact] for link in path.contacts))

        for given in _pulling_in(feeding, survey, relay, feed.if_fitted, coils):
            if len(added) < _MOST_FOLLOWED and not _covered(given, (*feed.conditions, *added)):
                enough = survey.has(given) and through_it(survey.after(given)) == YES
                changes = given if enough else changes_along(survey, _numbers(feeding, path), through_it, given)
                if changes and not _covered(changes, (*feed.conditions, *added)):
                    added[changes] = None
    return replace(feed, conditions=(*feed.conditions, *added)) if added else feed


def _covered(changes: Changes, known: Iterable[Changes]) -> bool:
    return any(set(its) <= set(changes) for its in known)


def _pulling_in(feeding: Feeding, survey: Survey, relay: str, equipment: Condition, coils: _Coils) -> Iterator[Changes]:
    """What makes either side of a coil live, other relays on the way to it included."""
    part = feeding.circuit.platform.parts[relay]
    for side in part.coil if isinstance(part, Relay) else ():
        end = Terminal(relay, side)
        if end not in feeding.circuit.number:
            continue
        if (end, equipment) not in coils:
            coils[end, equipment] = ()  # a relay that works itself is not followed round and round
            feed = feeds_in(survey, [end], equipment)[end]
            coils[end, equipment] = _with_others(feeding, end, feed, coils).conditions
        yield from coils[end, equipment]


def _numbers(feeding: Feeding, path: Path) -> list[int]:
    """The numbers of the contacts and outputs on a way."""
    circuit = feeding.circuit
    return [i for link in path.contacts for i in circuit.contacts[link.contact] if circuit.links[i] == link]


def told_of_other_ways(feeding: Feeding, classes: Mapping[str, LoadClass]) -> Mapping[str, LoadClass]:
    """The classes with the other ways of a load's supply, in which it draws; `other_ways` where there may be more."""
    coils: _Coils = {}
    return {name: _class_with_others(feeding, its, coils) for name, its in classes.items()}


def _class_with_others(feeding: Feeding, its: LoadClass, coils: _Coils) -> LoadClass:
    if its.its != "switched" or not its.drawn_in:
        return its
    survey, _ = survey_with(feeding.circuit, feeding.fitting, its.if_fitted)
    load = survey.plan.loads.index(its.name)
    added: dict[Changes, None] = {}
    unclear = False
    for pin in its.pins:
        feed = _with_others(feeding, pin.terminal, pin.feed, coils)
        unclear = unclear or feed.other_ways
        for changes in feed.conditions[len(pin.feed.conditions) :]:
            if survey.has(changes) and survey.after(changes).draws_of(load) == YES:
                added[changes] = None
            else:
                unclear = True
    drawn_in = dict.fromkeys((*its.drawn_in, *added))
    return replace(its, drawn_in=tuple(drawn_in), other_ways=unclear)


def _left(feeding: Feeding, terminal: Terminal, feed: Feed) -> list[Path]:
    """Ways from a battery that conduct in none of the states that were found, and need not all that one of these
    needs."""
    if feed.kind != "in" or not feed.conditions or feed.cut_off:
        return []
    survey, _ = survey_with(feeding.circuit, feeding.fitting, feed.if_fitted)
    ways = [path for path in feeding.supply.to(terminal).main if path.known and path.contacts]
    for changes in (*feed.conditions, *feed.perhaps):
        if not ways or not survey.has(changes):
            return []
        then = survey.after(changes)
        needed = {name for name in why(then, terminal).contacts if survey.parked.contacts[name] == NO}
        ways = [path for path in ways if not _conducts(then, path) and not needed <= _passed(path)]
    return ways


def _passed(path: Path) -> set[str]:
    return {link.contact for link in path.contacts}


def _conducts(powered: Powered, path: Path) -> bool:
    return all(powered.contacts[link.contact] != NO for link in path.contacts)
