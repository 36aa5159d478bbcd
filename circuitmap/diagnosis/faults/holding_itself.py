"""A relay that holds itself once it was pulled in, because a contact that should break its hold sticks: nothing draws
until it is used, and then all goes on. Whatever parts the hold for a moment ends it, until it is used again."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates_switching import hanging_on
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.relays_by_feed import and_what_they_switch
from circuitmap.wiring.fitting import Answer, holds

USED_BEFORE = 0.5
"""How often what holds itself was used before the vehicle was parked (judgement)."""
_A_LOOK_AT_ALL = 4
"""Units of work for each net and gate to settle from all relays pulled in: some looks, each at everything at once."""


def holding_itself(parked: Parked) -> Iterator[Candidate]:
    """Each contact of a switch or relay that lets another relay hold itself by being stuck closed, and does not pull it
    in by itself."""
    platform, links = parked.platform, parked.circuit.links
    nets = parked.powered.nets
    anyway, near = frozenset(parked.powered.held.relays), _nets_near_coils(parked)
    for contact, its in parked.circuit.contacts.items():
        part = platform.parts[links[its[0]].part]
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or part.name in parked.absent or part.kind not in ("relay", "switch", "key"):
            continue
        ends = {nets.net_of[end] for link in its for end in parked.circuit.ends[link]}
        if ends.isdisjoint(near) or not parked.may_try(part.name):
            continue
        stuck = replace(parked.state, stuck=frozenset({contact}))
        parked.effort.spend(_A_LOOK_AT_ALL * (nets.count + len(nets.gate_link) + len(parked.plan.paths)))
        relays = frozenset(parked.evaluated(stuck).held.relays) - anyway - {part.name}
        if not relays:
            continue
        state = replace(stuck, was_in=relays)
        brings = tuple(hanging_on(flow, part.name) for flow in and_what_they_switch(parked, parked.brought_in(state)))
        if not relays & {flow.owner for flow in brings if flow.holds_a_relay}:
            continue
        fault = Fault(
            kind="contact", part=part.name, about=part.name, odds=0.0, brings=brings, contact=contact, state=state,
            lives_by=(frozenset({part.name}),), perhaps=there == Answer.MAY_BE, holds=tuple(sorted(relays)),
        )  # fmt: skip
        yield Candidate(fault, factor=USED_BEFORE)


def _nets_near_coils(parked: Parked) -> set[int]:
    """The nets of coils' ends, and all that contacts join to them: only there a contact can hold a relay."""
    net_of, ends = parked.powered.nets.net_of, parked.circuit.ends
    near = {net_of[end] for coil in parked.plan.coils for end in (coil.plus, coil.minus)}
    joins = [tuple(net_of[end] for end in ends[i]) for its in parked.circuit.contacts.values() for i in its]
    grown = True
    while grown:
        more = {net for pair in joins if not near.isdisjoint(pair) for net in pair} - near
        near |= more
        grown = bool(more)
    return near


HOLDING_ITSELF = (FaultSource(("contact",), holding_itself),)
