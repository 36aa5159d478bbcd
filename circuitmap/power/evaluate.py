"""What is live in a state of the vehicle, which contacts are closed, who is awake and what draws."""

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.derived import Derives
from circuitmap.power.beside import Recorded, beside
from circuitmap.power.looks import Settled, Touched
from circuitmap.power.nets import MAY_BE, NO, YES, Nets, nets_of, nets_without, opened_links
from circuitmap.power.plan import Plan, plan_of
from circuitmap.power.ready import Wiring
from circuitmap.power.self_held import self_held, settled
from circuitmap.power.settle import Run
from circuitmap.power.state import VehicleState
from circuitmap.power.waking import data_lines
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Output

ANSWERS = (Answer.NO, Answer.MAY_BE, Answer.YES)
_KEPT = 16
"""How many combinations of equipment and parts taken out are kept ready per circuit."""


class Levels(Mapping[Terminal, Answer]):
    """An answer for every terminal of the circuit, looked up when asked for."""

    __slots__ = ("_certain", "_circuit", "_net_of", "_perhaps")

    def __init__(self, circuit: Circuit, nets: Nets, certain: list[int], perhaps: list[int]) -> None:
        self._circuit, self._net_of, self._certain, self._perhaps = circuit, nets.net_of, certain, perhaps

    def __getitem__(self, terminal: Terminal) -> Answer:
        net = self._net_of[self._circuit.number[terminal]]
        return Answer.YES if self._certain[net] else Answer.MAY_BE if self._perhaps[net] else Answer.NO

    def __iter__(self) -> Iterator[Terminal]:
        return iter(self._circuit.nodes)

    def __len__(self) -> int:
        return len(self._circuit.nodes)


class PinPower(NamedTuple):
    """One supply pin of a load: whether it is live, and from which batteries (empty: not known from which)."""

    terminal: Terminal
    live: Answer
    batteries: tuple[str, ...]


class LoadPower(NamedTuple):
    """A load in a state. It draws only if its supply is live and its ground complete.

    `awake` is for modules and members of networks; other loads are never awake. `ground_assumed`: its ground was
    not transcribed and is taken to be complete.
    """

    name: str
    draws: Answer
    supply: Answer
    ground: Answer
    awake: Answer
    pins: tuple[PinPower, ...]
    ground_assumed: bool = False


class Powered(Derives):
    """One vehicle state, settled. Everything is worked out when first asked for, except how surely each load draws
    (`drawn`) where a neighbour has told it."""

    def __init__(
        self, plan: Plan, nets: Nets, run: Run, settled: Settled, drawn: tuple[int, ...] | None = None
    ) -> None:
        self.plan, self.nets, self.run, self.settled, self._drawn = plan, nets, run, settled, drawn

    @property
    def circuit(self) -> Circuit:
        return self.plan.circuit

    @property
    def state(self) -> VehicleState:
        return self.run.state

    @cached_property
    def supply(self) -> Mapping[Terminal, Answer]:
        """Whether each terminal is joined to a battery's plus."""
        return Levels(self.circuit, self.nets, self.settled.reach.supply, self.settled.reach.perhaps_supply)

    @cached_property
    def ground(self) -> Mapping[Terminal, Answer]:
        """Whether each terminal is joined to a battery's minus."""
        return Levels(self.circuit, self.nets, self.settled.reach.ground, self.settled.reach.perhaps_ground)

    @cached_property
    def draws(self) -> tuple[int, ...]:
        """How surely each load draws, 0, 1 or 2, in the order of `plan.loads`: the quick form of `loads`."""
        if self._drawn is not None:
            return self._drawn
        drawn, seen = self.run.drawn, self.settled.reach
        return tuple(
            drawn(paths[0], seen) if len(paths) == 1 else max((drawn(path, seen) for path in paths), default=NO)
            for paths in self.plan.paths_of
        )

    def draws_of(self, load: int) -> int:
        """How surely one load draws."""
        drawn, seen = self.run.drawn, self.settled.reach
        return max((drawn(path, seen) for path in self.plan.paths_of[load]), default=NO)

    def between_plus_and_minus(self, load: int) -> int:
        """How surely one load lies between the plus and the minus of one battery, be it switched on there or not."""
        return max((self.run.flowing(path, self.settled.reach) for path in self.plan.paths_of[load]), default=NO)

    @cached_property
    def recorded(self) -> Recorded:
        """This state as the start for its neighbours."""
        return Recorded(self.run, self.settled)

    @cached_property
    def loads(self) -> Mapping[str, LoadPower]:
        return {name: self._load(n, name) for n, name in enumerate(self.plan.loads)}

    def _load(self, n: int, name: str) -> LoadPower:
        pins = self.circuit.loads[name]
        seen = self.settled.reach
        paths = [path for path in self.plan.paths_of[n] if self.nets.paths[path][2] != NO]
        supply = ground = NO
        turned = [path for path in paths if self.run.turned(path, seen)]
        for path in paths:
            net = self.nets.paths[path][1 if turned else 0]
            live = YES if seen.supply[net] else MAY_BE if seen.perhaps_supply[net] else NO
            if not self.plan.paths[path].supply_known:
                live = max(live, MAY_BE)
            supply = max(supply, min(live, self.nets.paths[path][2]))
            ground = max(ground, self.run.ground_level(path, seen, bool(turned)))
        sleeper = self.plan.sleeper_number.get(name)
        return LoadPower(
            name=name,
            draws=ANSWERS[self.draws[n]],
            supply=ANSWERS[supply],
            ground=ANSWERS[ground],
            awake=ANSWERS[self.settled.standing.awake[sleeper]] if sleeper is not None else Answer.NO,
            pins=tuple(self._pin(pin, pins.supply_drawn) for pin in (pins.grounds if turned else pins.supplies)),
            ground_assumed=not all(self.plan.paths[path].ground_known for path in self.plan.paths_of[n]),
        )

    def _pin(self, terminal: Terminal, drawn: bool) -> PinPower:
        live = self.supply.get(terminal, Answer.NO)
        if not drawn:
            live = max(live, Answer.MAY_BE)
        return PinPower(terminal, live, self.batteries(terminal))

    def batteries(self, terminal: Terminal) -> tuple[str, ...]:
        """The batteries that a terminal is fed from, or may be; empty when that is not known."""
        node = self.circuit.number.get(terminal)
        if node is None:
            return ()
        net = self.nets.net_of[node]
        reach = self.settled.reach
        bits = self.nets.worlds.in_any(reach.supply[net] or reach.perhaps_supply[net])
        return tuple(dict.fromkeys(cell.battery for n, cell in enumerate(self.plan.cells) if bits >> n & 1))

    @cached_property
    def in_series(self) -> tuple[str, ...]:
        """Loads and relays that carry a little current through one another but would carry none alone."""
        return tuple(dict.fromkeys(self.name_of_taker(n) for n in sorted(self.settled.reach.in_series)))

    def name_of_taker(self, taker: int) -> str:
        """The load or relay that a number of `run.takers` belongs to."""
        coil = taker - self.run.takers.first_coil
        return self.plan.coils[coil].relay if coil >= 0 else self.plan.loads[self.plan.paths[taker].load]

    @cached_property
    def contacts(self) -> Mapping[str, Answer]:
        """Whether each contact and each output conducts."""
        found = {}
        for name, links in self.circuit.contacts.items():
            gates = [self.nets.gate_of_link[link] for link in links if link in self.nets.gate_of_link]
            found[name] = ANSWERS[max((self.settled.levels[gate] for gate in gates), default=NO)]
        return found

    @cached_property
    def energised(self) -> Mapping[str, Answer]:
        """Whether each relay is pulled in."""
        relays = self.settled.standing.relays
        return {name: ANSWERS[relays[n]] for n, name in enumerate(self.plan.relays)}

    @cached_property
    def awake(self) -> Mapping[str, Answer]:
        """Whether each module, member of a network or part with outputs is awake."""
        levels, parts = self.settled.standing.awake, self.circuit.platform.parts
        # An output that is on while an input has plus stands among the sleepers, but is no part.
        return {its.name: ANSWERS[levels[n]] for n, its in enumerate(self.plan.sleepers) if its.name in parts}

    @cached_property
    def networks(self) -> Mapping[str, Answer]:
        """Whether each network, or any piece of it, is awake."""
        found = dict.fromkeys(self.circuit.platform.networks, Answer.NO)
        for n, line in enumerate(self.run.lines.lines):
            if not line.network:
                continue
            found[line.network] = max(found[line.network], ANSWERS[self.settled.lines[n]])
        for network, drivers in self.plan.driven_lines.items():
            on = (self.driven_at(driver) for driver in drivers)
            found[network] = max(found[network], *on)
        return found

    def driven_at(self, output: Output) -> Answer:
        """Whether an output is on and brings there what it is for: plus, or ground."""
        net, reach = self.nets.net_of[self.circuit.number[output.terminal]], self.settled.reach
        feeds = output.action == "feeds"
        sure = (reach.supply if feeds else reach.ground)[net]
        perhaps = (reach.perhaps_supply if feeds else reach.perhaps_ground)[net]
        there = Answer.YES if sure else Answer.MAY_BE if perhaps else Answer.NO
        return min(self.contacts.get(output.contact, Answer.NO), there)

    @cached_property
    def lines_of_network(self) -> Mapping[str, tuple[int, ...]]:
        """The lines that each network consists of."""
        found: dict[str, list[int]] = {}
        for n, line in enumerate(self.run.lines.lines):
            found.setdefault(line.network, []).append(n)
        return {network: tuple(lines) for network, lines in found.items()}

    @property
    def buzzing(self) -> tuple[str, ...]:
        """Relays whose own contacts switch them off and on again without end."""
        return tuple(self.plan.relays[n] for n in sorted(self.settled.buzzing))

    @property
    def racing(self) -> tuple[str, ...]:
        """Relays that nobody can predict without a stopwatch: it depends on which is quicker."""
        return tuple(self.plan.relays[n] for n in sorted(self.settled.racing))

    @property
    def unsettled(self) -> tuple[str, ...]:
        """Relays that were still moving after more looks than are taken."""
        return tuple(self.plan.relays[n] for n in sorted(self.settled.unsettled))

    @cached_property
    def held(self) -> "Held":
        """What would stay on by itself if all had been on before: self-holding circuits."""
        its = self_held(self.run, self.settled)
        if its is None:
            return Held((), ())
        then = Powered(self.plan, self.nets, self.run, its.settled).draws
        loads = tuple(name for n, name in enumerate(self.plan.loads) if then[n] > self.draws[n])
        return Held(its.relays, loads, its.outputs, its.follow)


class Held(NamedTuple):
    """Relays and outputs that hold themselves once they are on, relays that `follow` them, and the loads that then
    draw: a possible draw."""

    relays: tuple[str, ...]
    loads: tuple[str, ...]
    outputs: tuple[str, ...] = ()
    follow: tuple[str, ...] = ()


def evaluate(
    circuit: Circuit,
    state: VehicleState,
    *,
    requests: Answer = Answer.MAY_BE,
    opened: frozenset[int] = frozenset(),
) -> Powered:
    """Settle a state of the vehicle, starting with everything asleep, and all relays at rest but those that were in.

    `requests`: whether outputs that conduct on request are taken to conduct perhaps (the honest answer), or not.
    `opened` are numbers of links that are interrupted besides. Linear in the links for a new set of unplugged parts or
    interrupted links, and only in the contacts after that.
    """
    ready = circuit.derived(_Ready)
    wiring = ready.interrupted(state, opened) if opened else ready.wiring(state)
    run = Run(wiring, state, int(requests))
    return Powered(run.plan, run.nets, run, settled(run))


class Beside(NamedTuple):
    """A state derived from another one, and everything in which it may differ from that one; None where it was
    evaluated from nothing. `loads` are the numbers of the loads that may draw differently. `work` is what it cost."""

    powered: Powered
    touched: Touched | None
    loads: frozenset[int]
    work: int


def evaluate_beside(base: Powered, state: VehicleState) -> Beside:
    """Like `evaluate`, for a state that differs a little from `base`, with outputs on request taken in the same way."""
    found = beside(base.recorded, state)
    plan, nets = base.plan, base.nets
    if found is None:
        powered = evaluate(base.circuit, state, requests=Answer(base.run.requests))
        looks = 8  # from rest, and now and then one after another: not counted one by one
        work = looks * (nets.count + len(nets.gate_link) + len(plan.paths) + len(plan.sleepers))
        return Beside(powered, None, frozenset(range(len(plan.loads))), work)
    run, settled, touched = found
    paths_at, first_coil = base.recorded.touching.paths_at, run.takers.first_coil
    paths = {path for net in touched.nets for path in paths_at.get(net, ())}
    paths |= {n for n in touched.takers if n < first_coil}
    loads = frozenset(plan.paths[path].load for path in paths)
    draws = list(base.draws)
    for load in loads:
        draws[load] = max((run.drawn(path, settled.reach) for path in plan.paths_of[load]), default=NO)
    powered = Powered(plan, nets, run, settled, tuple(draws))
    return Beside(powered, touched, loads, touched.work + len(paths))


class _Ready:
    """What the equipment and the parts taken out leave of a circuit, kept from the last few times."""

    def __init__(self, circuit: Circuit) -> None:
        self._plan = plan_of(circuit)
        self._kept: dict[tuple[frozenset[tuple[str, bool]], *tuple[frozenset[str], ...]], Wiring] = {}

    def interrupted(self, state: VehicleState, opened: frozenset[int]) -> Wiring:
        """The same with more links interrupted; not kept, because nobody asks for it twice."""
        whole = self.wiring(state)
        return Wiring(self._plan, nets_without(self._plan, whole.nets, opened), whole.lines)

    def wiring(self, state: VehicleState) -> Wiring:
        plan, kept = self._plan, self._kept
        key = (frozenset(state.fitting.items()), state.unplugged, state.pulled, state.inserted)
        found = kept.pop(key, None)
        if found is None:
            nets = nets_of(plan, state.fitting, opened_links(plan, state), state.inserted)
            lines = data_lines(plan, state.fitting, state.unplugged)
            found = Wiring(plan, nets, lines)
            while len(kept) >= _KEPT:
                kept.pop(next(iter(kept)))
        kept[key] = found
        return found
