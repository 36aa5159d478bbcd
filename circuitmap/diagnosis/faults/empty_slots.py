"""A fuse where the sheets have none for this vehicle: it joins what they keep apart, and a bar may be fed backwards
through it and through the fuses behind it."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates_switching import fed_past, with_those_it_wakes
from circuitmap.diagnosis.faults.fault import Candidate, Fault
from circuitmap.diagnosis.faults.fault_kinds import FUSE_SEEN_THERE
from circuitmap.evidence.evidence import Evidence
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform


def fuses_where_none_belongs(parked: Parked) -> Iterator[Candidate]:
    """Each slot that this equipment leaves empty and that feeds something with a fuse in it; where nobody said which
    equipment it is, each slot of several that no vehicle fills at once, with the others filled, too."""
    for fuse in parked.platform.fuses:
        there = holds(fuse.condition, parked.fitting)
        if there == Answer.YES or fuse.name in parked.absent or not _has_a_way_through(parked, fuse):
            continue
        inserted = frozenset({fuse.name})
        if there == Answer.MAY_BE:
            inserted |= _never_beside(parked, fuse)
            if len(inserted) < 2:
                continue  # with its equipment it belongs there
        if not parked.may_try(fuse.name):
            continue
        state, powered = with_those_it_wakes(parked, replace(parked.state, inserted=inserted))
        brings = parked.brought_by(powered)
        if not brings:
            continue
        passed = frozenset.intersection(*(flow.way.through for flow in brings))
        fuses = frozenset(name for name in passed if isinstance(parked.platform.parts.get(name), Fuse))
        fault = Fault(
            kind="extra-fuse", part=fuse.name, about=fuse.name, odds=0.0, brings=brings, place=fuse.name, state=state,
            others=tuple(sorted(inserted - {fuse.name})), lives_by=(fuses | {fuse.name},),
            wakes=frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES),
            perhaps=there == Answer.MAY_BE, fed_past=fed_past(parked, powered),
        )  # fmt: skip
        yield Candidate(fault, factor=FUSE_SEEN_THERE if fuse.name in parked.filled else 1.0)


def slots_seen_filled(platform: Platform, evidence: Evidence, fitting: Fitting) -> frozenset[str]:
    """The slots that this equipment leaves empty, perhaps, and in which somebody had a fuse in the hand, or read a
    current over it, or says that one is there."""
    named = {name for attempt in evidence.tries for name in attempt.out}
    named |= {reading.place for reading in evidence.readings if reading.shows_current}
    named |= {*evidence.out, *evidence.there, *(its.name for its in evidence.in_slot)}
    fuses = (platform.parts.get(name) for name in named)
    return frozenset(
        fuse.name for fuse in fuses if isinstance(fuse, Fuse) and holds(fuse.condition, fitting) != Answer.YES
    )


def _has_a_way_through(parked: Parked, fuse: Fuse) -> bool:
    return bool(parked.circuit.inside.get(fuse.name))


def _never_beside(parked: Parked, fuse: Fuse) -> frozenset[str]:
    """The fuses that are never there together with this one, and stand on one piece of metal with it."""
    nets, number = parked.powered.nets, parked.circuit.number

    def ends(name: str) -> set[int]:
        return {nets.net_of[number[end]] for end in parked.circuit.terminals_of.get(name, ())}

    its, alone = ends(fuse.name) | _next_to(parked, ends(fuse.name)), nets.worlds.passing(fuse.condition)
    return frozenset(
        other.name
        for other in parked.platform.fuses
        if other.condition
        and holds(other.condition, parked.fitting) == Answer.MAY_BE
        and not nets.worlds.passing(other.condition) & alone
        and not its.isdisjoint(ends(other.name))
    )


def _next_to(parked: Parked, here: Iterable[int]) -> set[int]:
    """The nets beyond what conducts from these, be it only with equipment that nobody mentioned; through no contact and
    no further fuse."""
    nets, links = parked.powered.nets, parked.circuit.links
    found, stack = set(here), list(here)
    while stack:
        for other, gate in nets.towards_load[stack.pop()]:
            link = links[nets.gate_link[gate]]
            if other not in found and not link.contact and not isinstance(parked.platform.parts.get(link.part), Fuse):
                found.add(other)
                stack.append(other)
    return found
