"""What carries current in a state, against a circuit simulator: random DC networks solved by ngspice.

Source: ngspice (the Debian package), operating point analysis. The netlist is written from the platform, not from
the circuit: a wire is 1 milliohm, a closed contact too, an open one is left out, a load or coil is a resistor.
"""

import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator
from dataclasses import replace
from random import Random

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Battery, Diode, Fuse, Ground, Joint, Load, Relay, Resistor, Switch, Terminal
from circuitmap.wiring.platform import Platform
from tests.power.random_platforms import platform_from

NGSPICE = shutil.which("ngspice")
NETWORKS = 80
COPPER = 1e-3
"""Ohms of a wire or closed contact."""
LEAST = 1e-3
"""Amperes. The resistors let more through if anything flows at all (12 V over less than 1 kilohm); what the simulator
leaks through its own 1e-12 siemens is far less."""

pytestmark = pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")


def random_text(seed: int, resistors: bool = False, turned: bool = False) -> str:
    """Fuses, switches, relays, diodes, lamps and modules, wired so that loads in series and in bridges occur."""
    random = Random(seed)
    lines = [
        'platform "Made up" supply 12V return body',
        "naming SP* splice, G* ground, X* connector",
        "battery BAT 70Ah",
        "BAT.- -> G1",
        "key IGN positions off, run closes 30 to 15 in run",
        "BAT.+ -> F1 -> IGN.30",
        "fuse F1 20A, F2 15A",
        "BAT.+ -> F2",
    ]
    feeds, grounds, middles = ["F1", "F2", "IGN.15"], ["G1", "G2"], ["SP1", "SP2", "SP3", "SP4"]
    for n in range(1, random.randint(2, 4)):
        lines.append(f"switch S{n} positions off, on closes 1 to 2 in on closes 1 to 3 in off")
        lines.append(f"{random.choice(feeds)} -> S{n}.1")
        feeds += [f"S{n}.2", f"S{n}.3"]
    for n in range(1, random.randint(2, 5)):
        lines.append(f"relay K{n} changeover")
        lines.append(f"{random.choice([*feeds, *middles])} -> K{n}.86")
        lines.append(f"K{n}.85 -> {random.choice([*grounds, *middles])}")
        lines.append(f"{random.choice([*feeds, *feeds, *middles])} -> X1.{n} -> K{n}.30")
        feeds += [f"K{n}.87", f"K{n}.87a"]
    if random.random() < 0.6:
        lines.append("diode D1")
        lines.append(f"{random.choice(middles)} -> D1 -> {random.choice([*middles, *grounds])}")
    for n in range(1, random.randint(6, 12)):
        kind = random.choice(("lamp", "motor", "module", "heater"))
        lines.append(f"{kind} L{n}" + (" supply 1 ground 2" if kind == "module" else ""))
        lines.append(f"{random.choice([*feeds, *feeds, *middles])} -> L{n}.1")
        lines.append(f"L{n}.2 -> {random.choice([*grounds, *grounds, *middles])}")
    if resistors:  # beside the loads, to ground; and one that holds up a point that a switch grounds
        lines += ["resistor R1 30ohm, R2 40ohm, R3 50ohm", "switch SG positions off, on closes 1 to 2 in on"]
        lines += [f"F{n} -> R{n} -> {random.choice(grounds)}" for n in (1, 2)]
        lines += [f"F{random.randint(1, 2)} -> R3 -> SG.1", "SG.2 -> G1", "lamp LG", "R3 -> LG.1", "LG.2 -> G2"]
    if turned:  # half of the arrows at loads with two ends are reversed
        kinds = {line.split()[1]: line.split()[0] for line in lines}
        for at, line in enumerate(lines):
            ends = line.split(" -> ")
            two_ended = any(kinds.get(end.split(".")[0]) in ("lamp", "motor", "heater") for end in ends)
            if len(ends) == 2 and two_ended and random.random() < 0.5:
                lines[at] = " -> ".join(f"{end}.2" if end in ("F1", "F2") else end for end in reversed(ends))
    wires = [line for line in lines if " -> " not in line or len(set(line.split(" -> "))) == len(line.split(" -> "))]
    return "\n".join(dict.fromkeys(wires)) + "\n"


def random_state(platform: Platform, seed: int) -> VehicleState:
    random = Random(seed)
    switches = [part for part in platform.parts.values() if isinstance(part, Switch) and not part.is_key]
    return VehicleState(
        key=random.choice(("", "run", "run")),
        switches={part.name: random.choice(part.positions) for part in switches},
        pulled=frozenset(fuse.name for fuse in platform.fuses if random.random() < 0.1),
        unplugged=frozenset(load.name for load in platform.loads if random.random() < 0.1),
    )


class Netlist:
    """What ngspice is given, and the names of what it is asked for."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.asked: dict[str, str] = {}
        self._nodes: dict[Terminal, int] = {}

    def node(self, terminal: Terminal) -> str:
        if terminal == Terminal("BAT", "-"):
            return "0"
        return f"n{self._nodes.setdefault(terminal, len(self._nodes) + 1)}"

    def resistor(self, a: Terminal, b: Terminal, ohms: float) -> str:
        name = f"r{len(self.lines)}"
        self.lines.append(f"{name} {self.node(a)} {self.node(b)} {ohms:g}")
        return name

    def load(self, part: str, a: Terminal, b: Terminal, ohms: float) -> None:
        self.asked[self.resistor(a, b, ohms)] = part

    def leaks(self) -> None:
        """A gigohm from every node to the battery's minus; otherwise a floating part has no solution."""
        for number in self._nodes.values():
            self.lines.append(f"rleak{number} n{number} 0 1g")


def netlist_of(circuit: Circuit, state: VehicleState, powered: Powered) -> Netlist:
    """Everything that conducts with relays as they are; straight from the platform's parts and wires."""
    platform, net = circuit.platform, Netlist()
    random = Random(7)
    for part in platform.parts.values():
        if isinstance(part, Battery):
            plus, minus = (net.node(Terminal(part.name, post)) for post in "+-")
            net.lines.append(f"v{len(net.lines)} {plus} {minus} 12")
    net.lines.append(".model dd d n=0.002")  # as good as no drop: what a real diode drops does not matter here
    lets_go = {name for name in state.unplugged if isinstance(platform.parts[name], Battery | Ground)}
    for wire in platform.wires:
        if not lets_go & {wire.a.part, wire.b.part}:
            net.resistor(wire.a, wire.b, COPPER)
    for part in platform.parts.values():
        taken_out = part.name in state.pulled | state.unplugged
        if isinstance(part, Resistor):
            assert part.ohms is not None
            net.load(part.name, Terminal(part.name, "1"), Terminal(part.name, "2"), part.ohms)
        elif isinstance(part, Load) and not taken_out:
            net.load(part.name, Terminal(part.name, "1"), Terminal(part.name, "2"), random.uniform(5, 50))
        elif isinstance(part, Fuse) and not taken_out:
            net.resistor(Terminal(part.name, "1"), Terminal(part.name, "2"), COPPER)
        elif isinstance(part, Diode):
            one, other = (net.node(Terminal(part.name, pin)) for pin in ("1", "2"))
            net.lines.append(f"d1 {one} {other} dd")
        elif isinstance(part, Switch):
            position = (state.key if part.is_key else state.switches.get(part.name)) or part.positions[0]
            for contact in part.contacts:
                if position in contact.closed_in:
                    net.resistor(Terminal(part.name, contact.pin_a), Terminal(part.name, contact.pin_b), COPPER)
        elif isinstance(part, Relay):
            net.load(part.name, Terminal(part.name, "86"), Terminal(part.name, "85"), random.uniform(60, 130))
            pulled_in = powered.energised[part.name] == Answer.YES
            net.resistor(Terminal(part.name, "30"), Terminal(part.name, "87" if pulled_in else "87a"), COPPER)
        elif isinstance(part, Ground):
            if part.name != "case" and not part.wired and not taken_out:
                net.resistor(Terminal(part.name), Terminal("case"), COPPER)
        elif isinstance(part, Joint) and part.kind == "connector":
            for pin in {end.pin for wire in platform.wires_at[part.name] for end in (wire.a, wire.b)} - {""}:
                if any(end == Terminal(part.name, pin, "l") for w in platform.wires for end in (w.a, w.b)):
                    net.resistor(Terminal(part.name, pin, "a"), Terminal(part.name, pin, "l"), COPPER)
        else:
            assert isinstance(part, Battery | Joint | Load | Fuse), part
    net.leaks()
    return net


def solved(net: Netlist, asked: Iterable[str]) -> str:
    """What the simulator prints when it is asked for these."""
    control = [".options gmin=1e-15", ".control", "op", *(f"print {its}" for its in asked), ".endc", ".end", ""]
    deck = "\n".join(["random network", *net.lines, *control])
    assert NGSPICE is not None
    done = subprocess.run([NGSPICE, "-b"], input=deck, capture_output=True, text=True, timeout=60, check=False)
    return done.stdout + done.stderr


def simulated(net: Netlist) -> dict[str, float]:
    """Amperes through each load and coil."""
    printed = solved(net, (f"@{name}[i]" for name in net.asked))
    found = dict(re.findall(r"@(\w+)\[i\] = (\S+)", printed))
    assert set(found) == set(net.asked), printed
    return {net.asked[name]: abs(float(amps)) for name, amps in found.items()}


def volts(net: Netlist, terminals: Iterable[Terminal]) -> dict[Terminal, float]:
    """Volts against the battery's minus."""
    node_of = {terminal: net.node(terminal) for terminal in terminals}
    printed = solved(net, (f"v({node})" for node in sorted(set(node_of.values()) - {"0"})))
    found = {"0": 0.0, **{node: float(its) for node, its in re.findall(r"v\((n\d+)\) = (\S+)", printed)}}
    return {terminal: found[node] for terminal, node in node_of.items()}


def settled_states(
    resistors: bool = False, turned: bool = False
) -> Iterator[tuple[int, Circuit, VehicleState, Powered]]:
    """Networks whose relays stand still and that are not shorted: the simulator knows nothing of blowing fuses."""
    seed = found = 0
    while found < NETWORKS:
        seed += 1
        circuit = circuit_of(platform_from(random_text(seed, resistors, turned)))
        state = random_state(circuit.platform, seed)
        if resistors:  # with its fuse out, a resistor only shares what comes through other loads
            state = replace(state, pulled=frozenset())
        powered = evaluate(circuit, state)
        known = all(level != Answer.MAY_BE for level in powered.energised.values())
        shorted = any(powered.supply[t] and powered.ground[t] for t in circuit.nodes)
        if known and not shorted:
            found += 1
            yield seed, circuit, state, powered


@pytest.mark.parametrize("turned", [False, True], ids=["from plus to minus", "arrows either way"])
def test_the_same_loads_and_coils_carry_current_as_in_the_simulator(turned: bool) -> None:
    carrying = silent = through_others = 0
    for seed, circuit, state, powered in settled_states(turned=turned):
        amps = simulated(netlist_of(circuit, state, powered))
        for name, its in amps.items():
            level = powered.energised[name] if name in powered.energised else powered.loads[name].draws
            flows = level == Answer.YES or name in powered.in_series
            assert flows == (its > LEAST), (seed, name, its, level, powered.in_series)
            carrying += flows
            silent += not flows
            through_others += name in powered.in_series
    assert carrying > 100
    assert silent > 100
    assert through_others > 5


def test_resistors_take_their_own_current_and_ground_nothing_that_is_live() -> None:
    by_resistors = held_up = 0
    for seed, circuit, state, powered in settled_states(resistors=True):
        amps = simulated(netlist_of(circuit, state, powered))
        for name, its in amps.items():
            if name == "R3" and name not in powered.loads:  # it only passes on what LG takes
                continue
            level = powered.energised[name] if name in powered.energised else powered.loads[name].draws
            if name == "R3" and level == Answer.NO and powered.loads["LG"].draws == Answer.YES:
                held_up += 1  # in a row with the lamp while the switch is open
                continue
            flows = level == Answer.YES or name in powered.in_series
            assert flows == (its > LEAST), (seed, name, its, level, powered.in_series)
            by_resistors += flows and name.startswith("R")
    assert by_resistors > 20
    assert held_up > 5


TWO_BATTERIES = """
naming G* ground
battery BAT 70Ah
battery AUX 95Ah
BAT.- -> G1
AUX.- -> G2
key IGN positions off, run closes 30 to 15 in run
fuse F1 20A, F2 50A, F3 50A
BAT.+ -> F1 -> IGN.30
relay K1 changeover
IGN.15 -> K1.86
K1.85 -> G1
BAT.+ -> F2 -> K1.30
K1.87 -> F3 -> AUX.+
lamp L1
lamp L2
F2 -> L1 -> G1
F3.2 -> L2 -> G2
"""
REVERSING = """
naming G* ground
battery BAT 70Ah
BAT.- -> G1
fuse F1 20A
switch S1 positions off, up, down, both closes 1 to 2 in up, both closes 1 to 3 in down, both
relay K1 changeover
relay K2 changeover
motor L1
BAT.+ -> F1 -> S1.1
F1 -> K1.87
F1 -> K2.87
S1.2 -> K1.86
S1.3 -> K2.86
K1.85, K2.85, K1.87a, K2.87a -> G1
K1.30 -> L1.1
L1.2 -> K2.30
"""
ISLAND = """
naming G* ground
ground G5 wired
ground STRAP wired
battery BAT 70Ah
BAT.- -> G1
G5 -> STRAP
STRAP -> G1
fuse F1 20A
switch S1 positions off, on closes 1 to 2 in on
relay K1 changeover
lamp L1
lamp L2
BAT.+ -> F1 -> L1 -> G5
F1 -> S1.1
S1.2 -> L2 -> G5
S1.2 -> K1.86
K1.85 -> G1
F1 -> K1.30
"""


@pytest.mark.parametrize(
    ("text", "state", "draw"),
    [
        (TWO_BATTERIES, VehicleState(), {"L1", "L2"}),
        (TWO_BATTERIES, VehicleState(key="run"), {"L1", "L2", "K1"}),
        (TWO_BATTERIES, VehicleState(unplugged=frozenset({"AUX"})), {"L1"}),
        (TWO_BATTERIES, VehicleState(key="run", unplugged=frozenset({"AUX"})), {"L1", "L2", "K1"}),
        (TWO_BATTERIES, VehicleState(pulled=frozenset({"F2"})), {"L2"}),
        (TWO_BATTERIES, VehicleState(key="run", pulled=frozenset({"F2"})), {"L1", "L2", "K1"}),
        (REVERSING, VehicleState(), set()),
        (REVERSING, VehicleState(switches={"S1": "up"}), {"L1", "K1"}),
        (REVERSING, VehicleState(switches={"S1": "down"}), {"L1", "K2"}),
        (REVERSING, VehicleState(switches={"S1": "both"}), {"K1", "K2"}),
        (ISLAND, VehicleState(), {"L1"}),
        (ISLAND, VehicleState(switches={"S1": "on"}), {"L1", "L2", "K1"}),
        (ISLAND, VehicleState(unplugged=frozenset({"STRAP"})), set()),
        (ISLAND, VehicleState(switches={"S1": "on"}, unplugged=frozenset({"STRAP"})), {"K1"}),
    ],
)
def test_volts_of_small_circuits(text: str, state: VehicleState, draw: set[str]) -> None:
    circuit = circuit_of(platform_from(text))
    powered = evaluate(circuit, state)
    net = netlist_of(circuit, state, powered)
    amps = simulated(net)
    said = {name for name, its in powered.loads.items() if its.draws == Answer.YES}
    said |= {name for name, its in powered.energised.items() if its == Answer.YES}
    flows = {name for name, its in amps.items() if its > LEAST}
    assert said == draw
    assert flows == draw | set(powered.in_series)
    joined = [t for t in circuit.nodes if Answer.YES in (powered.supply[t], powered.ground[t])]
    for terminal, its in volts(net, joined).items():
        assert its > 11.5 if powered.supply[terminal] == Answer.YES else abs(its) < 0.5, terminal
