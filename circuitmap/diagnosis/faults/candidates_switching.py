"""Faults of things that should be open and are not: a contact stuck, a coil held, a lamp's switch, a chafed ground
side."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.circuit.links import BODY
from circuitmap.diagnosis.car.currents import BETWEEN_BATTERIES, drawn_running, on_each_pin
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow, FlowKey, moments
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import CHAFED_GROUND_SIDE
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO, YES
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Switch


def contacts(parked: Parked) -> Iterator[Candidate]:
    """Each contact of a switch or relay, and each output, that brings something by being stuck closed. A switch
    that lights nothing but lamps is a fault of its own kind."""
    platform = parked.platform
    for contact, links in parked.circuit.contacts.items():
        part = platform.parts[parked.circuit.links[links[0]].part]
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or part.name in parked.absent or not any(_joins_something(parked, i) for i in links):
            continue
        if not parked.may_try(part.name):
            continue
        state = replace(parked.state, stuck=frozenset({contact}))
        powered = parked.evaluated(state)
        brings = tuple(_hanging_on(flow, part.name) for flow in parked.brought_by(powered))
        brings += _joining_batteries(parked, powered, contact)
        if not brings:
            continue
        lamps = isinstance(part, Switch) and all(
            flow.owner in platform.parts and platform.parts[flow.owner].kind == "lamp" for flow in brings
        )
        others = tuple(sorted({flow.owner for flow in brings})) if lamps else ()
        awake = frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES)
        held = {flow.owner for flow in brings if flow.holds_a_relay}
        about = next(iter(held)) if len(held) == 1 and contact not in parked.relay_contacts else part.name
        fault = Fault(
            kind="lamp" if lamps else "contact", part=part.name, about=about, odds=0.0, brings=brings,
            contact=contact, others=others, state=state, lives_by=(frozenset({part.name}),), wakes=awake,
            perhaps=there == Answer.MAY_BE,
        )  # fmt: skip
        yield Candidate(fault)


def lamps_never_switched(parked: Parked) -> Iterator[Candidate]:
    """A lamp that, as far as it is typed in, would always burn: its switch is on no sheet yet and may be stuck."""
    for lamp in parked.platform.loads:
        there = holds(lamp.condition, parked.fitting)
        pins = parked.pins_of(lamp.name) if lamp.kind == "lamp" and parked.may_try(lamp.name) else []
        draw = drawn_running(lamp)
        if there == Answer.NO or lamp.name in parked.absent or not pins or draw is None:
            continue
        spread = on_each_pin(draw.spread, len(pins))
        flows = tuple(
            Flow(
                FlowKey(lamp.name, pin, "running"),
                lamp.name,
                *moments(spread, 1.0 if level == YES else 0.5),
                way,
                draw.assumed,
            )
            for pin, level, way in pins
        )
        fault = Fault(
            kind="lamp", part=lamp.name, about=lamp.name, odds=0.0, brings=flows,
            lives_by=tuple(way.through for _, _, way in pins), perhaps=there == Answer.MAY_BE, undrawn=True,
        )  # fmt: skip
        yield Candidate(fault)


def coils(parked: Parked) -> Iterator[Candidate]:
    """A relay held in because its control wire is rubbed through: to ground where the coil is live when parked, or to a
    live wire where its other side is grounded."""
    platform, powered = parked.platform, parked.powered
    for coil in parked.plan.coils:
        relay = platform.parts[coil.relay]
        there = holds(relay.condition, parked.fitting)
        if (
            there == Answer.NO
            or relay.name in parked.absent
            or powered.settled.standing.relays[parked.plan.relay_number[coil.relay]] == YES
        ):
            continue
        if not parked.may_try(relay.name):
            continue
        plus, minus = parked.circuit.nodes[coil.plus], parked.circuit.nodes[coil.minus]
        supply, ground = powered.supply, powered.ground
        if supply[plus] != Answer.NO and ground[minus] == Answer.NO:
            state = replace(parked.state, bridged=frozenset({(minus, BODY)}))
        elif supply[minus] != Answer.NO and ground[plus] == Answer.NO:
            state = replace(parked.state, bridged=frozenset({(plus, BODY)}))
        elif Answer.YES in (ground[minus], ground[plus]):
            state = replace(parked.state, driven=frozenset({relay.name}))
        else:
            continue
        after = parked.evaluated(state)
        brings = tuple(_hanging_on(flow, relay.name) for flow in parked.brought_by(after))
        brings += _joining_batteries(parked, after)
        if not brings:
            continue
        fault = Fault(
            kind="coil", part=f"control wire of {relay.name}", about=relay.name, odds=0.0, brings=brings,
            contact=relay.name, others=(relay.name,), state=state, lives_by=(frozenset({relay.name}),),
            wakes=frozenset(name for name, answer in after.networks.items() if answer == Answer.YES),
            perhaps=there == Answer.MAY_BE,
        )  # fmt: skip
        yield Candidate(fault)


def chafed_ground_sides(parked: Parked) -> Iterator[Candidate]:
    """A load with a constant feed that is switched on its ground side, where that wire is rubbed through to ground."""
    powered, plan = parked.powered, parked.plan
    for n, name in enumerate(plan.loads):
        part = parked.platform.parts[name]
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or name in parked.absent or powered.draws[n] != NO or not parked.may_try(name):
            continue
        for path in plan.paths_of[n]:
            its = plan.paths[path]
            if not its.ground_known or powered.nets.paths[path][2] == NO:
                continue
            supply, ground = parked.circuit.nodes[its.supply], parked.circuit.nodes[its.ground]
            if powered.supply[supply] == Answer.NO or powered.ground[ground] != Answer.NO:
                continue
            state = replace(parked.state, bridged=frozenset({(ground, BODY)}))
            brings = parked.brought_by(parked.evaluated(state))
            if brings:
                fault = Fault(
                    kind="chafed", part=f"ground-side wire of {name}", about=name, odds=0.0, brings=brings,
                    others=(name,), state=state, perhaps=there == Answer.MAY_BE,
                )  # fmt: skip
                yield Candidate(fault, CHAFED_GROUND_SIDE)
                break


def _joins_something(parked: Parked, link: int) -> bool:
    """Whether closing this link could make anything live or grounded that is not so already."""
    nets, reach = parked.powered.nets, parked.powered.settled.reach
    a, b = (nets.net_of[end] for end in parked.circuit.ends[link])
    if a == b or link not in nets.gate_of_link:
        return False
    sides = (reach.supply, reach.perhaps_supply, reach.ground, reach.perhaps_ground)
    return any(bool(side[a]) != bool(side[b]) for side in sides) or reach.supply[a] != reach.supply[b]


def _hanging_on(flow: Flow, part: str) -> Flow:
    return flow._replace(way=flow.way._replace(through=flow.way.through | {part}))


def _joining_batteries(parked: Parked, after: Powered, own: str = "") -> tuple[Flow, ...]:
    """What flows between batteries through a fault's own contact, and through those of relays that it pulls in."""
    if not parked.has_several_batteries:
        return ()
    standing, before = after.settled.standing.relays, parked.powered.settled.standing.relays
    pulled_in = {relay for relay, n in parked.plan.relay_number.items() if standing[n] == YES and before[n] != YES}
    found: tuple[Flow, ...] = ()
    for contact, links in parked.circuit.contacts.items():
        if contact == own or contact.rpartition(".")[0] in pulled_in:
            found += _between_batteries(parked, after, contact, links)
    return found


def _between_batteries(parked: Parked, powered: Powered, contact: str, links: tuple[int, ...]) -> tuple[Flow, ...]:
    """What flows through a contact that joins two batteries that the parked vehicle keeps apart."""
    found = []
    nets, before, after = powered.nets, parked.powered.settled.reach, powered.settled.reach
    for link in links:
        a, b = (nets.net_of[end] for end in parked.circuit.ends[link])
        if not (before.supply[a] and before.supply[b]) or before.supply[a] & before.supply[b]:
            continue
        if not after.supply[a] & after.supply[b]:
            continue
        for end in parked.circuit.ends[link]:
            way = parked.ways.to_node(end)
            if way is not None:
                mean, variance = moments(BETWEEN_BATTERIES, 0.5)
                part = parked.circuit.links[link].part
                way = way._replace(through=way.through | {part, contact})
                key = FlowKey(contact, str(parked.circuit.nodes[end]), "between")
                found.append(Flow(key, part, mean, variance, way, True))
    return tuple(found)


SWITCHING: tuple[FaultSource, ...] = (
    FaultSource(("contact", "lamp"), contacts),
    FaultSource(("lamp",), lamps_never_switched),
    FaultSource(("coil",), coils),
    FaultSource(("chafed",), chafed_ground_sides),
)
