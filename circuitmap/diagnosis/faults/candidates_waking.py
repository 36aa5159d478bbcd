"""Faults that keep modules awake: a member of a network, an input believed wrongly, a chafed line."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from circuitmap.diagnosis.car.parked import Parked, WokenParked
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import CHAFED_LINE, FEEDS_KNOWN_DEAD, TURNED_ON_TOO
from circuitmap.power.nets import YES
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, Switch, Terminal
from circuitmap.wiring.platform import Network


def keeps_awake(parked: Parked) -> Iterator[Candidate]:
    """Each member of each network, and each gateway, may be the one that never lets the network sleep."""
    for network in parked.platform.networks.values():
        there = holds(network.condition, parked.fitting)
        if there == Answer.NO or not parked.may_try(network.name):
            continue
        woken = parked.with_awake(network.name)
        for module, answer in members_of(parked, network).items():
            fault = Fault(
                kind="keeps-awake", part=module, about=network.name, odds=0.0, brings=woken.brings, module=module,
                network=network.name, state=woken.state, lives_by=parked.supplies_of(module),
                wakes=woken.networks, perhaps=min(answer, there) == Answer.MAY_BE,
            )  # fmt: skip
            yield Candidate(fault, factor=_factor(parked, module))


def wrong_inputs(parked: Parked) -> Iterator[Candidate]:
    """A latch, hood, park or brake switch, or an input nobody typed, that tells a module it is in use."""
    platform = parked.platform
    for module in platform.loads:
        there = holds(module.condition, parked.fitting)
        networks = platform.networks_of.get(module.name, ())
        if there == Answer.NO or module.name not in parked.plan.sleeper_number or module.name in parked.absent:
            continue
        if not parked.may_try(module.name):
            continue
        factor = _factor(parked, module.name)
        inputs = inputs_of(parked, module)
        kept_awake = _ways_to_be_awake(parked, module)
        for its in inputs:
            found = _by_its_contact(parked, module, its)
            if found is not None:
                yield Candidate(replace(found, perhaps=there == Answer.MAY_BE), factor=factor)
                continue
            names = kept_awake[:1] if its.wakes else kept_awake
            shares = [
                (fault, share / len(names)) for name in names for fault, share in _told(parked, module, its, name)
            ]
            for fault, share in shares:
                yield Candidate(replace(fault, perhaps=there == Answer.MAY_BE), share, factor)
        woken = parked.with_awake(networks[0] if len(networks) == 1 else module.name)
        if not inputs and networks and woken.brings:
            fault = _wrong(parked, module, None, woken)
            yield Candidate(replace(fault, perhaps=there == Answer.MAY_BE), factor=factor)


def _ways_to_be_awake(parked: Parked, module: Load) -> list[str]:
    """What an input of a module may wake: all of its networks, or one of them; each only if it is another set."""
    networks = parked.platform.networks_of.get(module.name, ())
    names = (module.name, *networks) if len(networks) != 1 else networks
    by_set: dict[frozenset[str], str] = {}
    for name in names:
        by_set.setdefault(parked.with_awake(name).networks, name)
    return list(by_set.values())


def _wrong(parked: Parked, module: Load, switch: Switch | None, woken: WokenParked) -> Fault:
    networks = parked.platform.networks_of.get(module.name, ())
    own = [network for network in networks if network in woken.networks] or list(networks)
    kept = [name for name in own if name in woken.state.awake] or own
    return Fault(
        kind="wrong-input", part=switch.name if switch is not None else module.name,
        about=kept[0] if kept else module.name, odds=0.0, brings=woken.brings,
        module=module.name, network=kept[0] if len(kept) == 1 else "", others=(module.name,),
        state=woken.state, lives_by=parked.supplies_of(module.name), wakes=woken.networks, undrawn=switch is None,
    )  # fmt: skip


def _by_its_contact(parked: Parked, module: Load, its: "Input") -> Fault | None:
    """A contact at a wake pin, as it stands in use: what it wakes, and all that it turns on besides."""
    if not its.wakes:
        return None
    state = _in_use(parked, its)
    powered = parked.evaluated(state)
    if powered.settled.standing.awake[parked.plan.sleeper_number[module.name]] != YES:
        return None
    awake = frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES)
    woken = WokenParked(state, parked.brought_by(powered), awake)
    if not woken.brings:
        return None
    return replace(_wrong(parked, module, its.switch, woken), lives_by=())


def _told(parked: Parked, module: Load, its: "Input", name: str) -> Iterator[tuple[Fault, float]]:
    """A contact that a module reads and takes for in use: what that wakes; and, more often than not, what the contact
    turns on by itself. Each with its share."""
    woken = parked.with_awake(name)
    if not woken.brings:
        return
    wrong = _wrong(parked, module, its.switch, woken)
    state = _in_use(parked, its)
    turned_on = parked.brought_by(parked.evaluated(state))
    if not turned_on:
        yield wrong, 1.0
        return
    yield wrong, 1.0 - TURNED_ON_TOO
    contact = replace(
        wrong, kind="lamp", about=its.switch.name, module="", network="", brings=turned_on, state=state,
        lives_by=(frozenset({its.switch.name}),), wakes=frozenset(),
        others=tuple(sorted({flow.owner for flow in turned_on})),
    )  # fmt: skip
    brings = tuple({flow.key: flow for flow in (*woken.brings, *turned_on)}.values())
    both = replace(woken.state, switches=state.switches, stuck=state.stuck)
    yield replace(wrong, brings=brings, state=both, contact=its.contact, of=(wrong, contact)), TURNED_ON_TOO


def _in_use(parked: Parked, its: "Input") -> VehicleState:
    """The parked car with the contact of an input as it stands when what it watches is open or in use."""
    planned = parked.plan.switch_contacts[its.link]
    at_rest = parked.state.switches.get(its.switch.name, planned.rest) in planned.closed_in
    others = (p for p in its.switch.positions if (p in planned.closed_in) != at_rest)
    position = next(others, None)
    if position is None:
        return replace(parked.state, stuck=frozenset({its.contact}))
    return replace(parked.state, switches={**parked.state.switches, its.switch.name: position})


def chafed_lines(parked: Parked) -> Iterator[Candidate]:
    for network in parked.platform.networks.values():
        if holds(network.condition, parked.fitting) != Answer.NO and parked.may_try(network.name):
            woken = parked.with_awake(network.name)
            fault = Fault(
                kind="chafed", part=f"line of {network.name}", about=network.name, odds=0.0, brings=woken.brings,
                network=network.name, state=woken.state, wakes=woken.networks,
                perhaps=holds(network.condition, parked.fitting) == Answer.MAY_BE,
            )  # fmt: skip
            yield Candidate(fault, CHAFED_LINE)


def members_of(parked: Parked, network: Network) -> dict[str, Answer]:
    """Members and gateways that can keep a network awake, with how surely they are on this car."""
    found: dict[str, Answer] = {}
    for member in network.members:
        if member.waking == "listens":
            continue
        part = parked.platform.parts[member.part]
        found[member.part] = min(holds(member.condition, parked.fitting), holds(part.condition, parked.fitting))
    for gateway in parked.platform.gateways:
        if network.name in gateway.joins:
            found.setdefault(gateway.module, holds(gateway.condition, parked.fitting))
    return {name: its for name, its in found.items() if its != Answer.NO and name not in parked.absent}


class Input(NamedTuple):
    """A switch that is wired to a module's sensing or wake pin, by one of its contacts; `link` is its number."""

    switch: Switch
    contact: str
    link: int
    wakes: bool


def inputs_of(parked: Parked, module: Load) -> tuple[Input, ...]:
    """The switches that are wired to a module's sensing and wake pins; of a pin that is on a supply or on ground at
    all times it is not known what it watches."""
    nets, circuit = parked.powered.nets, parked.circuit
    ends = (*circuit.supplies, *circuit.returns)
    always = {nets.net_of[circuit.number[terminal]] for terminal in ends if terminal in circuit.number}
    pieces: dict[int, bool] = {}
    for role in ("sense", "wake"):
        for p in module.pins_with(role):
            node = circuit.number.get(Terminal(module.name, p))
            if node is not None and nets.net_of[node] not in always:
                pieces[nets.net_of[node]] = role == "wake"
    found: dict[str, Input] = {}
    for link in parked.plan.switch_contacts if pieces else ():
        piece = next((nets.net_of[end] for end in circuit.ends[link] if nets.net_of[end] in pieces), None)
        part = parked.platform.parts[circuit.links[link].part]
        if piece is not None and isinstance(part, Switch) and holds(part.condition, parked.fitting) != Answer.NO:
            found.setdefault(part.name, Input(part, circuit.links[link].contact, link, pieces[piece]))
    return tuple(found[name] for name in sorted(found))


def _factor(parked: Parked, module: str) -> float:
    return FEEDS_KNOWN_DEAD if parked.fed(module) == Answer.NO else 1.0


WAKING: tuple[FaultSource, ...] = (
    FaultSource(("keeps-awake",), keeps_awake),
    FaultSource(("wrong-input",), wrong_inputs),
    FaultSource(("chafed",), chafed_lines),
)
