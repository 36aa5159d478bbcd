"""A relay held in by what comes over its control wire, or by what drives a coil that nobody typed in."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from circuitmap.circuit.links import BODY
from circuitmap.diagnosis.car.currents import coil_spread, is_coil_typed
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import NOTHING_WHEN_FED, Flow, FlowKey, moments
from circuitmap.diagnosis.car.ways import Way, posts_from
from circuitmap.diagnosis.faults.between_batteries import joining_batteries
from circuitmap.diagnosis.faults.candidates_switching import (
    at_open_ends,
    hanging_on,
    with_those_it_wakes,
)
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.input_wires import PieceToGround, pieces_to_what_grounds
from circuitmap.diagnosis.faults.relays_by_feed import and_what_they_switch
from circuitmap.diagnosis.faults.touching_plus import touches_of
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO, YES
from circuitmap.power.plan import Coil
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Relay, Terminal


class _Held(NamedTuple):
    """A way in which a coil is held: the state, what its control wire is rubbed on (a fuse; empty: any other), between
    which ends (none: nobody knows), and its share. `unknown`: which fuse gives the coil's current nobody knows.
    `relays` are all that hang on that wire. Of a piece of a wire to ground `pin` is the coil's, `piece` the piece."""

    state: VehicleState
    share: float = 1.0
    against: str = ""
    ends: tuple[str, ...] = ()
    unknown: bool = False
    relays: tuple[str, ...] = ()
    pin: str = ""
    piece: PieceToGround | None = None


def coils(parked: Parked) -> Iterator[Candidate]:
    """A relay held in because its control wire is rubbed through: to ground where the coil is live when parked, or to a
    live wire where its other side is grounded. Its current then comes by the fuse of the wire beside it. And one held
    in by what is on no sheet, where no wire comes to its coil."""
    platform = parked.platform
    for coil in parked.plan.coils:
        relay = platform.parts[coil.relay]
        there = holds(relay.condition, parked.fitting)
        if (
            there == Answer.NO
            or relay.name in parked.absent
            or parked.powered.settled.standing.relays[parked.plan.relay_number[coil.relay]] == YES
        ):
            continue
        undrawn = relay.name in parked.state.released
        for held in _ways_to_hold(parked, coil, undrawn):
            if not parked.may_try(relay.name):
                break
            state, after = with_those_it_wakes(parked, held.state)
            brings = _brought(parked, after, coil, held)
            if not brings:
                continue
            name = _that_matters(held.relays, brings, relay.name)
            wire = f"control wire of {name}"
            if held.piece is not None:
                first, last = held.ends
                wire = f"wire {first} to {last}" if held.piece.before else f"{wire} to {last}"
            elif len(held.ends) > 1:
                wire = f"{wire}, {' to '.join(held.ends)}"
            if held.against and held.against in parked.out_when_probed:
                wire = f"{wire}, against the wire of {held.against}"
            piece = held.piece
            parting = piece.before if piece is not None else frozenset[str]()
            others = (name, *(piece.places if piece is not None else ()))
            fault = Fault(
                kind="coil", part=name if undrawn else wire, about=name, odds=0.0, brings=brings,
                contact=name, others=() if undrawn else others, state=state, pin=held.pin,
                lives_by=(frozenset({name}) | parting,) if len(held.relays) < 2 else (), against=held.against,
                undrawn=undrawn, colour=piece.colour if piece is not None else "",
                wakes=frozenset(name for name, answer in after.networks.items() if answer == Answer.YES),
                perhaps=there == Answer.MAY_BE,
            )  # fmt: skip
            yield Candidate(fault, held.share)


def _brought(parked: Parked, after: Powered, coil: Coil, held: _Held) -> tuple[Flow, ...]:
    flows = parked.brought_by(after)
    if held.unknown and flows:
        own = [flow for flow in flows if flow.owner == coil.relay and flow.holds_a_relay]
        flows = tuple(_perhaps_nothing(flow) if flow in own else flow for flow in flows)
        flows += () if own else (_coil_from_anywhere(parked, coil),)
    switched = and_what_they_switch(parked, flows)
    alone = len(held.relays) < 2  # else each flows through its own relay, by its way
    brings = tuple(hanging_on(flow, coil.relay) if alone else flow for flow in switched)
    return (*brings, *at_open_ends(parked, after, coil.relay), *joining_batteries(parked, after))


def _perhaps_nothing(coil: Flow) -> Flow:
    """The current of a coil that nobody typed, and of which nobody knows where it comes from: perhaps it is too little
    to be seen there."""
    return coil._replace(nothing=NOTHING_WHEN_FED) if coil.assumed and not coil.way.known else coil


def _coil_from_anywhere(parked: Parked, coil: Coil) -> Flow:
    """The current of a coil that nobody knows which fuse gives: it is in the total, or by a fuse as one more thing that
    flows there."""
    relay = parked.platform.parts[coil.relay]
    assert isinstance(relay, Relay)
    way = Way(posts_from(parked.circuit, parked.circuit.nodes[coil.plus]), frozenset({relay.name}), False)
    its = moments(coil_spread(relay))
    typed = is_coil_typed(relay)
    return Flow(FlowKey(relay.name, "", "coil"), relay.name, *its, way, not typed, nothing=NOTHING_WHEN_FED)


def _ways_to_hold(parked: Parked, coil: Coil, undrawn: bool) -> Iterator[_Held]:
    """The states in which a coil is held."""
    supply, ground = parked.powered.supply, parked.powered.ground
    plus, minus = parked.circuit.nodes[coil.plus], parked.circuit.nodes[coil.minus]
    if undrawn:
        yield _Held(replace(parked.state, driven=frozenset({coil.relay})), unknown=True)
    elif supply[plus] != Answer.NO and ground[minus] == Answer.NO:
        yield from _onto_ground(parked, minus)
    elif supply[minus] != Answer.NO and ground[plus] == Answer.NO:
        yield from _onto_ground(parked, plus)
    elif Answer.YES in (ground[minus], ground[plus]):
        yield from _onto_plus(parked, coil, plus if ground[minus] == Answer.YES else minus)


def _onto_ground(parked: Parked, end: Terminal) -> Iterator[_Held]:
    """A control wire on ground: one wire, until something on its way was out; then piece by piece, each with its share.
    What several relays hang on stays one wire."""
    alone = len(_on_wire(parked, parked.powered.nets.net_of[parked.circuit.number[end]])) < 2
    pieces = pieces_to_what_grounds(parked, end) if alone else ()
    for piece in pieces:
        state = replace(parked.state, bridged=frozenset({(piece.at, BODY)}))
        yield _Held(state, 1.0 / len(pieces), ends=piece.ends, pin=end.pin, piece=piece)
    if not pieces:
        yield _Held(replace(parked.state, bridged=frozenset({(end, BODY)})))


def _onto_plus(parked: Parked, coil: Coil, end: Terminal) -> Iterator[_Held]:
    """A control wire on plus: by the wire of a fuse that runs beside it, or by another one."""
    number, nets = parked.circuit.number, parked.powered.nets
    if parked.live(end) != Answer.NO:
        yield _Held(replace(parked.state, driven=frozenset({coil.relay})), unknown=True)
        return
    net, rest = nets.net_of[number[end]], 0.0
    relays = _on_wire(parked, net)
    if coil.relay != next(iter(relays), coil.relay):
        return  # one wire of several relays is rubbed through once
    for touch in touches_of(parked, net):
        if not touch.fuse and touch.live not in number:
            rest += touch.share
            continue
        state = replace(parked.state, bridged=frozenset({(touch.at, touch.live)}))
        yield _Held(state, touch.share, touch.fuse, touch.ends, not touch.fuse, relays)
    if rest:
        yield _Held(replace(parked.state, driven=frozenset({coil.relay})), rest, unknown=True)


def _on_wire(parked: Parked, net: int) -> tuple[str, ...]:
    """The relays with an end of their coil on a piece of metal, of those that this vehicle has, or may have."""
    net_of, coils_at = parked.powered.nets.net_of, parked.powered.nets.coils
    its = (
        coil.relay
        for coil, (_, _, level) in zip(parked.plan.coils, coils_at, strict=True)
        if level != NO and coil.relay not in parked.absent and net in (net_of[coil.plus], net_of[coil.minus])
    )
    return tuple(sorted(set(its)))


def _that_matters(relays: tuple[str, ...], brings: Iterable[Flow], own: str) -> str:
    """Of several relays on one wire, the one that joins batteries, or through whose contact most flows: that one's name
    tells the wire."""
    if len(relays) < 2:
        return own
    passed = {relay: [f for f in brings if relay in f.way.through and not f.holds_a_relay] for relay in relays}
    joins = {relay: any(flow.joins_batteries for flow in its) for relay, its in passed.items()}
    return max(relays, key=lambda relay: (joins[relay], sum(flow.mean for flow in passed[relay])))


CONTROL_WIRES = (FaultSource(("coil",), coils),)
