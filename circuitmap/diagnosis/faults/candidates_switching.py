"""Faults of things that should be open and are not: a contact stuck, a lamp's switch, a chafed ground side."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from circuitmap.circuit.links import BODY
from circuitmap.diagnosis.car.currents import RUNNING_BY_KIND, drawn_running, on_each_pin
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import LIVE_PERHAPS, Flow, FlowKey, live_pins, moments
from circuitmap.diagnosis.car.ways import CurrentWays
from circuitmap.diagnosis.faults.between_batteries import joining_batteries, pulled_in
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import CHAFED_GROUND_SIDE, LEFT_SET
from circuitmap.diagnosis.faults.input_wires import ground_side_pieces
from circuitmap.diagnosis.faults.inputs import every_input
from circuitmap.diagnosis.faults.relays_by_feed import and_what_they_switch
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO, YES
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, OpenEnd, Switch, Terminal


def contacts(parked: Parked) -> Iterator[Candidate]:
    """Each contact of a switch or relay, and each output, that brings something by being stuck closed. A switch
    that lights nothing but lamps is a fault of its own kind."""
    platform = parked.platform
    waking = {its.contact for its in every_input(parked) if its.wakes}
    outputs = {output.contact for output in platform.outputs}
    for contact, links in parked.circuit.contacts.items():
        part = platform.parts[parked.circuit.links[links[0]].part]
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or part.name in parked.absent or not any(_joins_something(parked, i) for i in links):
            continue
        if not parked.may_try(part.name):
            continue
        state, powered = with_those_it_wakes(parked, replace(parked.state, stuck=frozenset({contact})))
        flows = parked.brought_by(powered)
        if state.awake == parked.state.awake:
            parked.know_stuck(contact, flows)
        brings = tuple(hanging_on(flow, part.name) for flow in and_what_they_switch(parked, flows))
        if contact in parked.relay_contacts or (contact in outputs and any(flow.holds_a_relay for flow in brings)):
            brings += at_open_ends(parked, powered, part.name)
        brings += joining_batteries(parked, powered, contact)
        if not brings:
            continue
        lamps = isinstance(part, Switch) and all(
            flow.owner in platform.parts and platform.parts[flow.owner].kind == "lamp" for flow in brings
        )
        others = tuple(sorted({flow.owner for flow in brings})) if lamps else ()
        awake = frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES)
        if awake and contact in waking:
            continue  # a wrong input
        held = {flow.owner for flow in brings if flow.holds_a_relay}
        about = part.name
        if contact not in parked.relay_contacts:
            about = next(iter(held), about) if len(held) == 1 else _only_woken(brings) or about
        fault = Fault(
            kind="lamp" if lamps else "contact", part=part.name, about=about, odds=0.0, brings=brings,
            contact=contact, others=others, state=state, wakes=awake, lives_by=(_kept_by(parked, part.name, contact),),
            perhaps=there == Answer.MAY_BE,
        )  # fmt: skip
        latching = isinstance(part, Switch) and bool(part.coils)
        yield Candidate(fault, factor=LEFT_SET if latching and not lamps else 1.0)


def _kept_by(parked: Parked, part: str, contact: str) -> frozenset[str]:
    """What a stuck contact goes with: its part, and for a module's output the pin, whose terminal can be lifted out."""
    pin = next((str(its.terminal) for its in parked.platform.outputs if its.contact == contact), part)
    return frozenset({part, pin})


def _only_woken(brings: Iterable[Flow]) -> str:
    """The one module that is awake and draws, if nothing else does: then that module is what it is about."""
    named = {flow.owner for flow in brings}
    return named.pop() if len(named) == 1 and all(flow.key.taken == "awake" for flow in brings) else ""


def switches_left_on(parked: Parked) -> Iterator[Candidate]:
    """A switch whose position closes several contacts at once: left there, or none of them opens. What one contact
    alone brings is a fault of its own."""
    by_switch: dict[str, list[int]] = {}
    for link, planned in parked.plan.switch_contacts.items():
        if not planned.is_key:
            by_switch.setdefault(planned.switch, []).append(link)
    for name, links in by_switch.items():
        part = parked.platform.parts[name]
        assert isinstance(part, Switch)
        there = holds(part.condition, parked.fitting)
        if len(links) < 2 or there == Answer.NO or name in parked.absent or not parked.may_try(name):
            continue
        alone = _brought_alone(parked, (parked.circuit.links[link].contact for link in links))
        for position in part.positions[1:]:
            if sum(position in parked.plan.switch_contacts[link].closed_in for link in links) < 2:
                continue
            state = replace(parked.state, switches={**parked.state.switches, name: position})
            brings = tuple(hanging_on(flow, name) for flow in parked.brought_in(state) if flow.owner not in alone)
            if brings:
                contact = next(
                    parked.circuit.links[i].contact
                    for i in links
                    if position in parked.plan.switch_contacts[i].closed_in
                )
                fault = Fault(
                    kind="contact", part=name, about=name, odds=0.0, brings=brings, contact=contact, pin=position,
                    state=state, lives_by=(frozenset({name}),), perhaps=there == Answer.MAY_BE,
                )  # fmt: skip
                yield Candidate(fault, factor=LEFT_SET if part.coils else 1.0)
                break


def _brought_alone(parked: Parked, contacts: Iterable[str]) -> set[str]:
    """The parts that draw with any one of these contacts or outputs stuck closed by itself."""
    return {owner for contact in contacts for owner in parked.owners_with_stuck(contact)}


def outputs_together(parked: Parked) -> Iterator[Candidate]:
    """A load between two outputs of one module, both of which do not turn off. A load that needs a relay held in, too,
    is another matter: that relay's coil would draw as well, and it would hang on several outputs that fail apart."""
    by_module: dict[str, list[str]] = {}
    modules = {output.module for output in parked.platform.outputs}
    for contact in parked.circuit.contacts:
        if (module := contact.rpartition(".")[0]) in modules:
            by_module.setdefault(module, []).append(contact)
    for module, contacts in by_module.items():
        part = parked.platform.parts[module]
        there = holds(part.condition, parked.fitting)
        if len(contacts) < 2 or there == Answer.NO or module in parked.absent or not parked.may_try(module):
            continue
        alone = _brought_alone(parked, contacts)
        state = replace(parked.state, stuck=frozenset(contacts))
        by_load: dict[str, list[Flow]] = {}
        powered = parked.evaluated(state)
        newly = pulled_in(parked, powered)
        for flow in parked.brought_by(powered):
            if flow.owner not in alone and newly.isdisjoint(flow.way.through):
                by_load.setdefault(flow.owner, []).append(hanging_on(flow, module))
        for load, flows in by_load.items():
            fault = Fault(
                kind="contact", part=module, about=load, odds=0.0, brings=tuple(flows), contact=contacts[0], pin=load,
                others=(load,), state=state, lives_by=(frozenset({module}),), perhaps=there == Answer.MAY_BE,
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


def chafed_ground_sides(parked: Parked) -> Iterator[Candidate]:
    """A load with a constant feed that is switched on its ground side, where that wire is rubbed through to ground."""
    powered, plan = parked.powered, parked.plan
    by_wire: dict[int, list[tuple[Fault, Terminal]]] = {}
    for n, name in enumerate(plan.loads):
        part = parked.platform.parts[name]
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or name in parked.absent or powered.draws[n] == YES or not parked.may_try(name):
            continue
        for path in plan.paths_of[n]:
            its = plan.paths[path]
            if not its.ground_known or powered.nets.paths[path][2] == NO:
                continue
            supply, ground = parked.circuit.nodes[its.supply], parked.circuit.nodes[its.ground]
            if powered.supply[supply] == Answer.NO or powered.ground[ground] == Answer.YES:
                continue
            state = replace(parked.state, bridged=frozenset({(ground, BODY)}))
            brings = parked.brought_in(state)
            if brings:
                fault = Fault(
                    kind="chafed", part=f"ground-side wire of {name}", about=name, odds=0.0, brings=brings,
                    others=(name,), state=state, perhaps=there == Answer.MAY_BE,
                )  # fmt: skip
                by_wire.setdefault(powered.nets.net_of[its.ground], []).append((fault, ground))
                break
    for faults in by_wire.values():
        wire = _one_wire([fault for fault, _ in faults])
        pieces = ground_side_pieces(parked, wire, faults[0][1]) or (wire,)
        for piece in pieces:
            yield Candidate(piece, CHAFED_GROUND_SIDE / len(pieces))


def _one_wire(faults: list[Fault]) -> Fault:
    """Several loads whose ground sides are one wire: it is rubbed through once, under one name."""
    names = tuple(fault.about for fault in faults)
    if len(names) == 1:
        return faults[0]
    wire = f"ground-side wire of {' and '.join(names)}"
    perhaps = all(fault.perhaps for fault in faults)
    return replace(faults[0], part=wire, about=wire, others=names, perhaps=perhaps)


def with_those_it_wakes(parked: Parked, state: VehicleState) -> tuple[VehicleState, Powered]:
    """A state, and awake in it the modules that get a switched feed by it: unless a wake pin is typed in, nothing
    else tells a module that it is needed."""
    powered, plan = parked.evaluated(state), parked.plan
    standing = powered.settled.standing
    woken = [
        sleeper.name
        for n, sleeper in enumerate(plan.sleepers)
        if sleeper.load >= 0
        and standing.awake[n] != YES
        and isinstance(part := parked.platform.parts[sleeper.name], Load)
        and part.kind == "module"
        and not part.pins_with("wake")
        and live_pins(powered, sleeper.load).keys() - live_pins(parked.powered, sleeper.load).keys()
    ]
    if not woken:
        return state, powered
    state = replace(state, awake=state.awake.union(woken))
    return state, parked.evaluated(state)


def nets_fed_by_relays(parked: Parked) -> set[int]:
    """The pieces of metal that a relay's contact feeds from what is live."""
    nets, live = parked.powered.nets, parked.powered.settled.reach.supply
    found: set[int] = set()
    for link in parked.plan.relay_contacts:
        a, b = (nets.net_of[end] for end in parked.circuit.ends[link])
        found |= {near for near, far in ((a, b), (b, a)) if live[far] and not live[near]}
    return found


def fed_past(parked: Parked, powered: Powered) -> frozenset[str]:
    """The relays that are open in a state, and live on both sides of a contact that the sound parked vehicle leaves
    dead on one."""
    nets, sound, now = powered.nets, parked.powered, powered.settled.reach.supply
    before, its_net = sound.settled.reach.supply, sound.nets.net_of
    found = set()
    for link, contact in parked.plan.relay_contacts.items():
        ends = parked.circuit.ends[link]
        both_live = all(now[nets.net_of[end]] for end in ends) and not all(before[its_net[end]] for end in ends)
        if both_live and contact.energised and powered.settled.standing.relays[contact.relay] == NO:
            found.add(parked.circuit.links[link].part)
    return frozenset(found)


def at_open_ends(parked: Parked, powered: Powered, part: str) -> tuple[Flow, ...]:
    """What may flow where a contact feeds what is on no sheet; or nothing, where that has a switch of its own."""
    ways = CurrentWays(powered, parked.ways)
    found = []
    for end in parked.platform.parts.values():
        if not isinstance(end, OpenEnd) or end.from_supply:
            continue
        for terminal in parked.circuit.terminals_of.get(end.name, ()):
            node = parked.circuit.number[terminal]
            if ways.is_certain(node) and not parked.ways.is_certain(node) and (way := ways.to_node(node)):
                key = FlowKey(end.name, terminal.pin, "running")
                way = way._replace(through=way.through | {end.name, part})
                its = moments(RUNNING_BY_KIND["load"])
                found.append(Flow(key, end.name, *its, way, True, nothing=LIVE_PERHAPS))
    return tuple(found)


def _joins_something(parked: Parked, link: int) -> bool:
    """Whether closing this link could make anything live or grounded that is not so already."""
    nets, reach = parked.powered.nets, parked.powered.settled.reach
    a, b = (nets.net_of[end] for end in parked.circuit.ends[link])
    if a == b or link not in nets.gate_of_link:
        return False
    sides = (reach.supply, reach.perhaps_supply, reach.ground, reach.perhaps_ground)
    return any(bool(side[a]) != bool(side[b]) for side in sides) or reach.supply[a] != reach.supply[b]


def hanging_on(flow: Flow, part: str) -> Flow:
    return flow._replace(way=flow.way._replace(through=flow.way.through | {part}))


SWITCHING: tuple[FaultSource, ...] = (
    FaultSource(("contact", "lamp"), contacts),
    FaultSource(("contact",), switches_left_on),
    FaultSource(("contact",), outputs_together),
    FaultSource(("lamp",), lamps_never_switched),
    FaultSource(("chafed",), chafed_ground_sides),
)
