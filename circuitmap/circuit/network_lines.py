"""Which network a point is on, and the resistors between its wires."""

from collections.abc import Mapping
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import metal_from
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Resistor, Terminal
from circuitmap.wiring.platform import Network


class LineResistor(NamedTuple):
    """A resistor on a network's lines; `ohms` 0: not typed in."""

    name: str
    ohms: float


def lines_of(circuit: Circuit, network: Network, fitting: Fitting) -> frozenset[int]:
    """All nodes of a network's wires, as far as they are typed in."""
    nodes: set[int] = set()
    for member in network.members:
        if holds(member.condition, fitting) == Answer.NO:
            continue
        for pin in member.pins:
            node = circuit.number.get(Terminal(member.part, pin))
            if node is not None and node not in nodes:
                nodes.update(metal_from(circuit, node, fitting).nodes)
    return frozenset(nodes)


def network_at(circuit: Circuit, point: Terminal, fitting: Fitting) -> Network | None:
    """The network that carries messages and whose wires a point is on, or whose member has this pin for it."""
    node = circuit.number.get(point)
    networks: Mapping[str, Network] = circuit.platform.networks
    for its in networks.values():
        if its.kind == "wake" or holds(its.condition, fitting) == Answer.NO:
            continue
        own = any(point.part == member.part and point.pin in member.pins for member in its.members)
        if own or node in lines_of(circuit, its, fitting):
            return its
    return None


def resistors_on(circuit: Circuit, network: Network, fitting: Fitting) -> tuple[LineResistor, ...]:
    """Resistors that lead from one wire of a network to another one of it."""
    nodes = lines_of(circuit, network, fitting)
    found: dict[str, float] = {}
    for i, link in enumerate(circuit.links):
        part = circuit.platform.parts.get(link.part)
        if isinstance(part, Resistor) and set(circuit.ends[i]) <= nodes:
            found[part.name] = part.ohms or 0.0
    return tuple(LineResistor(name, ohms) for name, ohms in found.items())
