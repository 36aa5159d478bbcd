"""What hangs on each net, gate, relay and sleeper, so that a change can be followed."""

from collections.abc import Iterable

from circuitmap.power.nets import NO
from circuitmap.power.plan import SwitchContact
from circuitmap.power.ready import CoilEnds, Wiring
from circuitmap.power.respread import Edge, Side
from circuitmap.wiring.platform import Output


class Touching:
    """Tables of one wiring, made once: `paths_at[n]` are the load paths at a net, `gates_of_relay[r]` what it moves."""

    def __init__(self, wiring: Wiring, coils: tuple[CoilEnds, ...]) -> None:
        plan, nets, gates = wiring.plan, wiring.nets, wiring.gates
        edges: list[list[Edge]] = [[] for _ in nets.gate_link]
        for net, around in enumerate(nets.towards_load):
            for other, gate in around:
                edges[gate].append((net, other))
        self.edges = tuple(map(tuple, edges))
        self.supply = Side(nets.towards_load, nets.towards_supply, nets.keeps_supply_out)
        self.ground = Side(nets.towards_supply, nets.towards_load, nets.keeps_ground_out)
        self.paths_at = _at_nets((n, (a, b)) for n, (a, b, level) in enumerate(nets.paths) if level != NO)
        self.coils_at = _at_nets((n, coil[1:3]) for n, coil in enumerate(coils))
        self.coil_of_taker = {coil[4]: n for n, coil in enumerate(coils)}
        self.sleeper_of_path = {path: s for s, sleeper in enumerate(plan.sleepers) for path in sleeper.paths}
        self.sleepers_at = _at_nets(
            (s, [nets.net_of[node] for node in sleeper.wake_nodes]) for s, sleeper in enumerate(plan.sleepers)
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
    """For each net the numbers of the things that are at it."""
    found: dict[int, list[int]] = {}
    for number, nets in things:
        for net in dict.fromkeys(nets):
            found.setdefault(net, []).append(number)
    return found
