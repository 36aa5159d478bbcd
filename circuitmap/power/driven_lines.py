"""Wake lines whose way of waking is all drawn: from the outputs that drive them, by wire, to the wake pins.

The wire then says it all: a cut wire, or a driver whose own supply is dead, wakes nobody, whatever the line's list of
members says.
"""

from collections.abc import Mapping, Sequence

from circuitmap.circuit.links import Circuit
from circuitmap.power.wake_pins import WakePin, leads_back
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Member, Network, Output, Platform

WakePinsOf = Mapping[str, Sequence[WakePin]]
"""The wake pins of each part that has any."""


def driven_lines(circuit: Circuit, wake_pins: WakePinsOf) -> Mapping[str, tuple[Output, ...]]:
    """The outputs that drive each wake line of which every driver is an output that is on while its module is awake,
    and every other member listens with a wake pin that each of these outputs can reach."""
    platform = circuit.platform
    outputs = _outputs_at(platform)
    found = {}
    for network in platform.networks.values():
        if network.kind == "wake":
            drivers = _drivers(network, outputs)
            others = [member for member in network.members if member.waking != "drives"]
            listen = all(member.waking == "listens" for member in others)
            if (
                drivers
                and others
                and listen
                and all(_is_reached(circuit, wake_pins, member, drivers) for member in others)
            ):
                found[network.name] = tuple(drivers)
    return found


def perhaps_driven(platform: Platform) -> Mapping[tuple[str, str], tuple[Output, ...]]:
    """The wake lines and their drivers of which it may be only, with the outputs there: these are on at times of their
    own (for a second, on request), not as long as their module is awake."""
    outputs = _outputs_at(platform)
    found = {}
    for network in platform.networks.values():
        for member in network.members if network.kind == "wake" else ():
            its = [output for pin in member.pins for output in outputs.get(Terminal(member.part, pin), ())]
            if member.waking == "drives" and its and not any(output.when in ("awake", "always") for output in its):
                found[network.name, member.part] = tuple(its)
    return found


def _outputs_at(platform: Platform) -> Mapping[Terminal, Sequence[Output]]:
    """The outputs at each pin: several lines may say when it is on."""
    outputs: dict[Terminal, list[Output]] = {}
    for output in platform.outputs:
        outputs.setdefault(output.terminal, []).append(output)
    return outputs


def _drivers(network: Network, outputs: Mapping[Terminal, Sequence[Output]]) -> list[Output]:
    """One output for each member that drives; none at all where one of them is not drawn so."""
    found = []
    for member in network.members:
        if member.waking == "drives":
            its = [output for pin in member.pins for output in outputs.get(Terminal(member.part, pin), ())]
            on = [output for output in its if output.when == "awake" and not output.condition]
            if not on:
                return []
            found.append(on[0])
    return found


def _is_reached(circuit: Circuit, wake_pins: WakePinsOf, member: Member, drivers: Sequence[Output]) -> bool:
    """Whether each driver's output can bring to one of the member's wake pins what wakes there."""
    ends = [circuit.number.get(output.terminal) for output in drivers]
    at_pins = {circuit.number.get(Terminal(member.part, pin)) for pin in member.pins}
    for pin in wake_pins.get(member.part, ()):
        plus = pin.by == "plus"
        fits = pin.node in at_pins and pin.by != "opening" and all((o.action == "feeds") is plus for o in drivers)
        if fits and all(
            end is not None and leads_back(circuit, pin.node, {end}, plus, lambda i, at: False) for end in ends
        ):
            return True
    return False
