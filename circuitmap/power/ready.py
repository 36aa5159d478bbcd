"""What stays the same between two states with the same equipment and the same parts taken out."""

from collections.abc import Iterable
from functools import cached_property
from typing import NamedTuple

from circuitmap.power.in_series import Takers
from circuitmap.power.nets import NO, Nets
from circuitmap.power.plan import Plan, SwitchContact
from circuitmap.power.respread import Edge, Side
from circuitmap.power.waking import DataLines
from circuitmap.power.worlds import EVERY_BIT
from circuitmap.wiring.platform import Output


class Gates(NamedTuple):
    """The gates that are contacts and outputs, each with what moves it; the others conduct as well as they can."""

    switches: tuple[tuple[int, SwitchContact], ...]
    relays: tuple[tuple[int, int, bool], ...]
    outputs: tuple[tuple[int, int, Output], ...]


CoilEnds = tuple[int, int, int, int, int, int]
"""A coil's relay, the nets of its two sides, the most that it pulls, its number among the takers, the bits that it lets
pass."""


class PathEnds(NamedTuple):
    """A load's path in these nets: its nets, the most that flows, whether both sides were typed in. `controls` are
    (net, whether ground switches it on, whether what comes to it was typed in), `needs` nets that must all be live,
    `passes` the bits that it lets pass."""

    supply: int
    ground: int
    ceiling: int
    both_known: bool
    either_way: bool
    controls: tuple[tuple[int, bool, bool], ...] = ()
    needs: tuple[int, ...] = ()
    passes: int = EVERY_BIT


def paths_of(plan: Plan, nets: Nets) -> tuple[PathEnds, ...]:
    """All load paths, in the order of the plan."""
    return tuple(
        PathEnds(
            *ends,
            path.supply_known and path.ground_known,
            path.either_way,
            tuple((nets.net_of[its.node], its.by_ground, its.known) for its in path.controls),
            tuple(nets.net_of[node] for node in path.needs),
            passes,
        )
        for path, ends, passes in zip(plan.paths, nets.paths, nets.path_passes, strict=True)
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


class Wiring:
    """All of these together; `coils` are those that are not taken out."""

    def __init__(self, plan: Plan, nets: Nets, lines: DataLines) -> None:
        self.plan, self.nets, self.lines = plan, nets, lines
        self.gates = gates_of(plan, nets)
        self.paths = paths_of(plan, nets)
        self.takers = Takers(plan, nets)
        self.coils: tuple[CoilEnds, ...] = tuple(
            (plan.relay_number[coil.relay], *nets.coils[n], self.takers.first_coil + n, nets.coil_passes[n])
            for n, coil in enumerate(plan.coils)
            if nets.coils[n][2] != NO
        )

    @cached_property
    def touching(self) -> "Touching":
        """What hangs on what."""
        return Touching(self)


class Touching:
    """Tables of one wiring, made once: `paths_at[n]` are the load paths at a net, `gates_of_relay[r]` the gates that a
    relay moves."""

    def __init__(self, wiring: "Wiring") -> None:
        plan, nets, gates, coils = wiring.plan, wiring.nets, wiring.gates, wiring.coils
        edges: list[list[Edge]] = [[] for _ in nets.gate_link]
        for net, around in enumerate(nets.towards_load):
            for other, gate in around:
                edges[gate].append((net, other))
        self.edges, self.passes = tuple(map(tuple, edges)), nets.passes
        self.supply = Side(nets.towards_load, nets.towards_supply, nets.keeps_supply_out)
        self.ground = Side(nets.towards_supply, nets.towards_load, nets.keeps_ground_out)
        self.paths_at = _at_nets(
            (n, (its.supply, its.ground, *(net for net, _, known in its.controls if known), *its.needs))
            for n, its in enumerate(wiring.paths)
            if its.ceiling != NO
        )
        self.coils_at = _at_nets((n, coil[1:3]) for n, coil in enumerate(coils))
        self.coil_of_taker = {coil[4]: n for n, coil in enumerate(coils)}
        self.sleepers_of_path: dict[int, list[int]] = {}
        for s, sleeper in enumerate(plan.sleepers):  # a module, and what it switches by an input of its own
            for path in sleeper.paths:
                self.sleepers_of_path.setdefault(path, []).append(s)
        self.sleepers_at = _at_nets(
            (s, [nets.net_of[pin.node] for pin in sleeper.wake_pins]) for s, sleeper in enumerate(plan.sleepers)
        )
        self.relay_gates: dict[int, tuple[int, bool]] = {gate: (relay, pulled) for gate, relay, pulled in gates.relays}
        self.output_gates: dict[int, tuple[int, Output]] = {gate: (s, output) for gate, s, output in gates.outputs}
        self.switch_gates: dict[int, SwitchContact] = dict(gates.switches)
        self.gates_of_relay: dict[int, list[int]] = {}
        for gate, relay, _ in gates.relays:
            self.gates_of_relay.setdefault(relay, []).append(gate)
        self.gates_of_sleeper: dict[int, list[int]] = {}
        for gate, sleeper_number, _ in gates.outputs:
            self.gates_of_sleeper.setdefault(sleeper_number, []).append(gate)
        self.gates_of_switch: dict[str, list[int]] = {}
        self.gates_of_key: list[int] = [gate for gate, _, output in gates.outputs if output.when == "in"]
        for gate, contact in gates.switches:
            self.gates_of_switch.setdefault(contact.switch, []).append(gate)
            if contact.is_key:
                self.gates_of_key.append(gate)
        self.lines_of_network: dict[str, list[int]] = {}
        for n, line in enumerate(wiring.lines.lines):
            self.lines_of_network.setdefault(line.network, []).append(n)

    def gates_at(self, nets: Iterable[int]) -> set[int]:
        """The gates at these nets."""
        both = (self.supply.out, self.supply.into)
        return {gate for net in nets for side in both for _, gate in side[net]}


def _at_nets(things: Iterable[tuple[int, Iterable[int]]]) -> dict[int, list[int]]:
    """For each net, the numbers of the things that are at it."""
    found: dict[int, list[int]] = {}
    for number, nets in things:
        for net in dict.fromkeys(nets):
            found.setdefault(net, []).append(number)
    return found
