"""How long what goes on in a state goes on, as far as the sheets say it."""

from collections.abc import Iterator
from typing import Literal, NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Load, Relay
from circuitmap.wiring.platform import Output


class HowLong(NamedTuple):
    """`awake`: a module is at most, `by` a wake pin; `on`: an output is at most; `longer`: a module or network stays
    awake so long when nothing keeps it awake any more; `holds`: a relay stays in when its coil goes off. Minutes,
    endless where there is no limit."""

    kind: Literal["awake", "on", "longer", "holds"]
    name: str
    by: str
    minutes: Band


def how_long(powered: Powered) -> tuple[HowLong, ...]:
    """Of all that surely goes on in this state."""
    return (*_awake(powered), *_on(powered), *_networks(powered), *_held(powered))


def _awake(powered: Powered) -> Iterator[HowLong]:
    platform, nodes = powered.circuit.platform, powered.circuit.nodes
    for number, sleeper in enumerate(powered.plan.sleepers):
        part = platform.parts.get(sleeper.name)
        if not isinstance(part, Load) or powered.settled.standing.awake[number] != YES:
            continue
        for pin in sleeper.wake_pins:
            its = part.lasts.get(nodes[pin.node].pin)
            if its is not None and powered.run.pin_wakes(pin, powered.settled.reach) == YES:
                yield HowLong("awake", part.name, str(nodes[pin.node]), its)
        if part.run_on is not None:
            yield HowLong("longer", part.name, "", part.run_on)


def _on(powered: Powered) -> Iterator[HowLong]:
    """Several lines for one pin are on one beside the other: it ends with the longest, or not at all."""
    gate_of, levels = powered.nets.gate_of_link, powered.settled.levels
    on: dict[str, dict[Output, None]] = {}
    for link, (_, output) in powered.plan.outputs.items():
        if link in gate_of and levels[gate_of[link]] == YES:
            on.setdefault(output.contact, {})[output] = None
    for contact, its in on.items():
        lasting = [output.lasts for output in its if output.lasts is not None]
        if len(lasting) == len(its):
            yield HowLong("on", contact, "", max(lasting, key=lambda band: band.high))


def _networks(powered: Powered) -> Iterator[HowLong]:
    for name, network in powered.circuit.platform.networks.items():
        if network.run_on is not None and powered.networks[name] == YES:
            yield HowLong("longer", name, "", network.run_on)


def _held(powered: Powered) -> Iterator[HowLong]:
    for name, pulled in powered.energised.items():
        part = powered.circuit.platform.parts[name]
        if isinstance(part, Relay) and part.holds is not None and pulled == YES:
            yield HowLong("holds", name, "", part.holds)
