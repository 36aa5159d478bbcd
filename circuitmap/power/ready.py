"""What stays the same between two states with the same equipment and the same parts taken out."""

from typing import NamedTuple

from circuitmap.power.in_series import Takers
from circuitmap.power.nets import Nets
from circuitmap.power.plan import Plan, SwitchContact
from circuitmap.power.waking import DataLines
from circuitmap.wiring.platform import Output


class Gates(NamedTuple):
    """The gates that are contacts and outputs, each with what moves it; the others conduct as they can."""

    switches: tuple[tuple[int, SwitchContact], ...]
    relays: tuple[tuple[int, int, bool], ...]
    outputs: tuple[tuple[int, int, Output], ...]


class Wiring(NamedTuple):
    """All of it together."""

    plan: Plan
    nets: Nets
    gates: Gates
    paths: tuple["PathEnds", ...]
    lines: DataLines
    takers: Takers


CoilEnds = tuple[int, int, int, int, int]
"""A coil's relay, the nets of its two sides, the most that it pulls, its number among the takers."""


class PathEnds(NamedTuple):
    """A load's path in these nets: its nets, the most that flows, whether both sides were typed in."""

    supply: int
    ground: int
    ceiling: int
    both_known: bool
    either_way: bool


def paths_of(plan: Plan, nets: Nets) -> tuple[PathEnds, ...]:
    """All load paths, in the order of the plan."""
    return tuple(
        PathEnds(*ends, path.supply_known and path.ground_known, path.either_way)
        for path, ends in zip(plan.paths, nets.paths, strict=True)
    )


def gates_of(plan: Plan, nets: Nets) -> Gates:
    """What moves the gates."""
    switches, relays, outputs = [], [], []
    for gate, link in enumerate(nets.gate_link):
        if not plan.circuit.links[link].contact:
            continue
        if link in plan.switch_contacts:
            switches.append((gate, plan.switch_contacts[link]))
        elif link in plan.relay_contacts:
            its = plan.relay_contacts[link]
            relays.append((gate, its.relay, its.energised))
        else:
            outputs.append((gate, *plan.outputs[link]))
    return Gates(tuple(switches), tuple(relays), tuple(outputs))
