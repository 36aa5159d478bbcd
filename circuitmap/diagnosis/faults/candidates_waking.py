"""Faults that keep modules awake: a member of a network, an input believed wrongly, a chafed line."""

from collections.abc import Iterator

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import CHAFED_LINE, FEEDS_KNOWN_DEAD
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
        # For a module on one network the network stands in.
        woken = parked.with_awake(networks[0] if len(networks) == 1 else module.name)
        switches = inputs_of(parked, module)
        if not woken.brings or not (networks or switches):
            continue
        for switch in switches or (None,):
            fault = Fault(
                kind="wrong-input", part=switch.name if switch is not None else module.name,
                about=networks[0] if networks else module.name, odds=0.0, brings=woken.brings,
                module=module.name, network=networks[0] if networks else "", others=(module.name,),
                state=woken.state, lives_by=parked.supplies_of(module.name), wakes=woken.networks,
                perhaps=there == Answer.MAY_BE, undrawn=switch is None,
            )  # fmt: skip
            yield Candidate(fault, factor=_factor(parked, module.name))


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


def inputs_of(parked: Parked, module: Load) -> tuple[Switch, ...]:
    """The switches that are wired to a module's sensing pins."""
    nets = parked.powered.nets
    number = parked.circuit.number
    pieces = {
        nets.net_of[number[pin]] for p in module.pins_with("sense") if (pin := Terminal(module.name, p)) in number
    }
    found = {}
    for link in parked.plan.switch_contacts:
        a, b = parked.circuit.ends[link]
        if nets.net_of[a] in pieces or nets.net_of[b] in pieces:
            part = parked.platform.parts[parked.circuit.links[link].part]
            if isinstance(part, Switch) and holds(part.condition, parked.fitting) != Answer.NO:
                found[part.name] = part
    return tuple(found[name] for name in sorted(found))


def _factor(parked: Parked, module: str) -> float:
    return FEEDS_KNOWN_DEAD if parked.fed(module) == Answer.NO else 1.0


WAKING: tuple[FaultSource, ...] = (
    FaultSource(("keeps-awake",), keeps_awake),
    FaultSource(("wrong-input",), wrong_inputs),
    FaultSource(("chafed",), chafed_lines),
)
