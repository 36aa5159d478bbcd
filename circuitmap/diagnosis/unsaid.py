"""What nobody said about this car that would change the answer: equipment, and how a switch stands."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from math import prod
from typing import NamedTuple

import numpy as np

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.diagnosis import Diagnosis, Subject, World
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.next_tests import NextTests
from circuitmap.diagnosis.seen.dead_places import DeadPlace
from circuitmap.diagnosis.weighing.weights import Weighing
from circuitmap.evidence.evidence import Evidence
from circuitmap.wiring.fitting import needs_of
from circuitmap.wiring.parts import Switch, Terminal

# Judgement.
UNCERTAIN = 0.5
"""What was not said is asked about while the probability of what the case is about is below this."""
MATTERS = 0.05
"""Whether some equipment is fitted is asked once what comes with it has this probability."""
STANDS_OTHERWISE = 0.3
"""Chance that a switch about which nothing was said does not stand as in the parked car."""
MOST_FACTS = 2
MOST_LEVEL = 2
LEVEL = 0.8
"""Of what the case would be about, what has this share of the first's probability is told with it."""
WORTH_TELLING = 0.05
"""A world is told from this probability on."""


class Fact(NamedTuple):
    """An option (fitted or not) or a switch (each of its positions), with the chance of each before any reading."""

    name: str
    answers: tuple[tuple[bool | str, float], ...]


class Weighed(NamedTuple):
    """What was made of the readings in one world."""

    weighing: Weighing
    subjects: Sequence[Subject]
    faults: Sequence[Fault]
    tests: Callable[[], NextTests]


def facts_to_ask(parked: Parked, answer: Diagnosis) -> tuple[Fact, ...]:
    """What was not said and may change an answer that is not sure; empty where the answer is sure."""
    top = answer.subjects[0].probability if answer.subjects else 0.0
    if not answer.netted.segments or not answer.rows:
        return ()
    if top >= UNCERTAIN and not answer.nothing_fits and explains_what_crosses(answer):
        return ()
    options = _options(parked, answer)
    return (*_switches(parked, answer, options), *options)


def times_asked(facts: Sequence[Fact]) -> int:
    """In how many worlds everything is weighed anew."""
    return prod(len(fact.answers) for fact in facts)


def explains_what_crosses(answer: Diagnosis) -> bool:
    """Whether the best explanation has a way for what one battery gives another, and for what draws but should be
    dead."""
    known = (fault for fault in answer.rows[0].faults[0] if fault.kind != "none-of-these")
    flows = [flow for fault in known for flow in fault.brings]
    joins = not answer.netted.charging or any(flow.joins_batteries for flow in flows)
    return joins and all(any(dead.place in flow.way.places for flow in flows) for dead in answer.dead)


def _switches(parked: Parked, answer: Diagnosis, options: Sequence[Fact]) -> list[Fact]:
    """Where current flows that no way should carry, the switches (other than the key) through which it could."""
    names = dict.fromkeys(name for dead in answer.dead for name in _switches_to(dead))
    if answer.netted.charging:
        for said in product(*(fact.answers for fact in options)):
            fitting = {fact.name: bool(value) for fact, (value, _) in zip(options, said, strict=True)}
            its = Parked(parked.circuit, {**parked.fitting, **fitting}, parked.absent, parked.state.switches)
            for taking, giving in product(answer.netted.charging, answer.netted.totals):
                names |= dict.fromkeys(switches_between(its, giving.place, taking.place))
    found = []
    for name in names:
        part = parked.platform.parts.get(name)
        if isinstance(part, Switch) and part.positions and not part.is_key and name not in parked.state.switches:
            others = part.positions[1:]
            rest = (part.positions[0], 1.0 - STANDS_OTHERWISE)
            found.append(Fact(name, (rest, *((other, STANDS_OTHERWISE / len(others)) for other in others))))
    return found[:MOST_FACTS]


def _switches_to(dead: DeadPlace) -> Iterator[str]:
    """The switches on the ways to a dead place; those of the shortest way that takes nothing but switches, if there is
    one."""
    alone = [needs for needs in dead.needs if all(subject.kind == "switch" for subject in needs)]
    fewest = min(map(len, alone), default=0)
    for needs in [its for its in alone if len(its) == fewest] or dead.needs:
        yield from (subject.name for subject in needs if subject.kind == "switch")


def switches_between(parked: Parked, one: str, other: str) -> list[str]:
    """Switches that, together with one more contact, are all that is missing between the batteries at two places."""
    circuit, nets, supply = parked.circuit, parked.powered.nets, parked.powered.settled.reach.supply
    posts = [circuit.number.get(Terminal(place.partition(".")[0], "+")) for place in (one, other)]
    if None in posts:
        return []
    masks = [supply[nets.net_of[post]] for post in posts if post is not None]
    gates = [
        (contact, nets.net_of[a], nets.net_of[b])
        for contact, links in circuit.contacts.items()
        for a, b in (circuit.ends[link] for link in links)
    ]
    gates += [(contact, b, a) for contact, a, b in gates]
    found: dict[str, None] = {}
    for contact, live, dead in gates:
        part = contact.rpartition(".")[0]
        if not isinstance(parked.platform.parts.get(part), Switch) or supply[dead] or supply[live] not in masks:
            continue
        rest = [mask for mask in masks if mask != supply[live]]
        if any(own != contact and near == dead and supply[far] in rest for own, near, far in gates):
            found[part] = None
    return list(found)


def _options(parked: Parked, answer: Diagnosis) -> list[Fact]:
    """Equipment that something likely comes with, or comes without; where a current crosses that the answer has no way
    for, that which a contact at a battery's supply comes with."""
    weight: dict[str, float] = {}
    unclear = answer.netted.charging or not any(map(list, map(_switches_to, answer.dead)))
    if unclear and not explains_what_crosses(answer):
        for name in _contacts_at_a_supply(parked):
            for need in needs_of(parked.platform, name):
                if need.option not in parked.fitting:
                    weight[need.option] = MATTERS
    for part in answer.parts:
        if part.probability < MATTERS:
            break
        for need in needs_of(parked.platform, part.part):
            if need.option not in parked.fitting:
                weight[need.option] = weight.get(need.option, 0.0) + part.probability
    ranked = sorted(weight, key=lambda option: (-weight[option], option))
    return [Fact(option, ((True, 0.5), (False, 0.5))) for option in ranked[:MOST_FACTS]]


def _contacts_at_a_supply(parked: Parked) -> list[str]:
    """Relays, switches and modules with a contact or output of which one side is live while parked."""
    circuit, nets, supply = parked.circuit, parked.powered.nets, parked.powered.settled.reach.perhaps_supply
    ends = {
        contact.rpartition(".")[0]: (nets.net_of[a], nets.net_of[b])
        for contact, links in circuit.contacts.items()
        for a, b in (circuit.ends[link] for link in links)
    }
    return [part for part, (a, b) in ends.items() if bool(supply[a]) != bool(supply[b])]


def worlds_of(
    facts: Sequence[Fact], evidence: Evidence, weighed: Callable[[Evidence], Weighed]
) -> tuple[tuple[World, ...], NextTests | None]:
    """The worlds that the facts give, likeliest first, and what to do next in the likeliest; none if the answer is the
    same in all of them."""
    found: list[tuple[float, World, Callable[[], NextTests]]] = []
    for answers in product(*(fact.answers for fact in facts)):
        said = [(fact.name, value) for fact, (value, _) in zip(facts, answers, strict=True)]
        fitting = tuple((name, value) for name, value in said if isinstance(value, bool))
        positions = tuple((name, value) for name, value in said if isinstance(value, str))
        world = replace(
            evidence, options={**evidence.options, **dict(fitting)}, positions={**evidence.positions, **dict(positions)}
        )
        its = weighed(world)
        log_chance = sum(np.log(chance) for _, chance in answers) + its.weighing.top + np.log(its.weighing.something)
        top, *others = its.subjects
        level = tuple(subject for subject in others[:MOST_LEVEL] if subject.probability >= LEVEL * top.probability)
        told = World(fitting, positions, 0.0, top, _joining(its.faults), level)
        found.append((float(log_chance), told, its.tests))
    highest = max(log_chance for log_chance, _, _ in found)
    total = sum(np.exp(log_chance - highest) for log_chance, _, _ in found)
    shares = [float(np.exp(log_chance - highest) / total) for log_chance, _, _ in found]
    told_ones = [
        (world._replace(probability=share), tests)
        for share, (_, world, tests) in zip(shares, found, strict=True)
        if share >= WORTH_TELLING
    ]
    answers_then = {w.subject.about if w.subject.probability >= UNCERTAIN else "" for w, _ in told_ones}
    if len(answers_then) < 2:
        return (), None
    told_ones.sort(key=lambda one: (-round(one[0].probability, 9), one[0].fitting, one[0].positions))
    return tuple(world for world, _ in told_ones), told_ones[0][1]()


def _joining(faults: Iterable[Fault]) -> tuple[str, ...]:
    joining = (flow.key.owner for fault in faults for flow in fault.brings if flow.joins_batteries)
    return tuple(dict.fromkeys(contact.rpartition(".")[0] for contact in joining))
