"""The vehicle parked, asleep and sound, and what any change to it brings; evaluated once and kept."""

from collections.abc import Container, Hashable, Iterable, Mapping
from dataclasses import replace
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.asked_amount import as_asked, outputs_as_asked
from circuitmap.diagnosis.car.converters import Converters
from circuitmap.diagnosis.car.live_wires import LiveWire, live_wires
from circuitmap.diagnosis.car.picture import Flow, FlowKey, asleep_in, brought_in, supply_ways
from circuitmap.diagnosis.car.relays_at_rest import let_go
from circuitmap.diagnosis.car.stood import as_it_matters, usually_stood
from circuitmap.diagnosis.car.ways import CurrentWays, Way
from circuitmap.effort import Effort
from circuitmap.power.equipment import not_said, with_equipment
from circuitmap.power.evaluate import Powered, evaluate, evaluate_beside
from circuitmap.power.plan import plan_of
from circuitmap.power.side_by_side import fuses_side_by_side
from circuitmap.power.state import VehicleState, keys_of
from circuitmap.wiring.fitting import Answer, Fitting
from circuitmap.wiring.parts import FIRST, SECOND, Fuse, OpenEnd, Switch, Terminal

MOST_WORK = 4_500_000
"""Units of work to find out what every fault would draw: looking at a net or gate in a state costs two, a part or
contact on the way of a current one, a place where the current can be measured five, a node of a tree of ways four
(judgement: three seconds and a half)."""
_A_LOOK_COSTS, _A_FLOW_COSTS = 2, 60
_ALL_AT_ONCE = 2
"""A state evaluated from nothing needs looks at everything; each of these is this many times cheaper (measured: one and
a half to three)."""
_A_PLACE_COSTS, _A_NODE_COSTS = 5, 4
_PARTS_APART, _PLACES_APART = 1_000, 20
"""Along a long way much is kept, and looked at, for each part and place with all before it: so many pairs cost one."""


class WokenParked(NamedTuple):
    """A state in which something is kept awake, what it brings, and all networks that are awake then."""

    state: VehicleState
    brings: tuple[Flow, ...]
    networks: frozenset[str]


class Parked:
    """`absent` are parts that a sheet shows and this car lacks, `positions` how switches stand on it where that is not
    their first position, `own_battery` parts that go on without a supply, besides those typed in so. Outputs on request
    are off: nobody asked for them. `told_apart` are switches that were looked at, so that they no longer stand for the
    wire to the pin that watches them. `on_plus` are points that were found on plus, each with what was out when its
    volts were read, plus or not. `seen_wrong` are parts whose input the live data showed otherwise than it is,
    `tested_fine` switches that were tested by themselves. It has `stood` so for minutes, None: for the usual time.
    `comes_and_goes`: so does what is looked for, over a floor that is sound. `filled` are slots that this equipment
    leaves empty, and in which a fuse was seen.

    `plus_at` keeps, for what was out and the points that were probed then, the chance of plus at each point, and the
    modules that are awake and may drive it, in each fault's state, by the identity of the state, which lives as long as
    this car's faults do.

    `left_out` are parts and networks for which it was too much work to find out what their faults would draw.
    """

    def __init__(
        self,
        circuit: Circuit,
        fitting: Fitting,
        absent: frozenset[str] = frozenset(),
        positions: Mapping[str, str] = MappingProxyType({}),
        own_battery: frozenset[str] = frozenset(),
        told_apart: frozenset[str] = frozenset(),
        on_plus: Mapping[Terminal, tuple[frozenset[str], ...]] = MappingProxyType({}),
        seen_wrong: frozenset[str] = frozenset(),
        stood: float | None = None,
        tested_fine: frozenset[str] = frozenset(),
        comes_and_goes: bool = False,
        filled: frozenset[str] = frozenset(),
    ) -> None:
        self.tested_fine, self.comes_and_goes, self.filled = tested_fine, comes_and_goes, filled
        self.told_apart, self.on_plus, self.seen_wrong = told_apart, on_plus, seen_wrong
        self.circuit, self.platform, self.fitting, self.absent = circuit, circuit.platform, fitting, absent
        self.own_battery = own_battery | {part.name for part in self.platform.loads if "own-battery" in part.care}
        self.plan = plan_of(circuit)
        if stood is None:
            stood = as_it_matters(self.platform, usually_stood(self.platform))
        state = VehicleState(fitting=fitting, unplugged=absent, switches=dict(positions), stood=stood)
        self.state = replace(state, released=let_go(circuit, state))
        self.powered = evaluate(circuit, self.state, requests=Answer.NO)
        together = fuses_side_by_side(self.powered).items()
        self.side_by_side = {fuse: " and ".join(sorted(names)) for fuse, names in together}
        self.members = {self.side_by_side[fuse]: tuple(sorted(names)) for fuse, names in together}
        self.ways = CurrentWays(self.powered, side_by_side=self.side_by_side)
        self.converters = Converters(self.powered, self.ways)
        self.asleep = self._apart(asleep_in(self.powered, self.ways))
        self.at_work: dict[FlowKey, Flow] = {}
        self.beside, self.run_by = frozenset[FlowKey](), dict[str, str]()
        self._woken: dict[str, WokenParked] = {}
        self.plus_at: dict[
            tuple[frozenset[str], tuple[Terminal, ...]], dict[int, list[tuple[float, frozenset[str]]]]
        ] = {}
        self._stuck: dict[str, frozenset[str]] = {}
        self._brought_in: dict[tuple[Hashable, ...], tuple[Flow, ...]] = {}
        self._ends: dict[tuple[Hashable, ...], bool] = {}
        self.effort = Effort(MOST_WORK)
        self.left_out: dict[str, None] = {}

    @cached_property
    def out_when_probed(self) -> frozenset[str]:
        """All that was ever out when volts were read at a point that was found on plus."""
        return frozenset(name for outs in self.on_plus.values() for out in outs for name in out)

    @cached_property
    def live_wires(self) -> tuple[LiveWire, ...]:
        """The wires that are live, or may be, each with its way."""
        found = tuple(live_wires(self.ways))
        self.effort.spend(sum(_cost_of(one.way) for one in found))
        return found

    @cached_property
    def wires_behind(self) -> Mapping[str, tuple[LiveWire, ...]]:
        """The live wires by the last fuse before them, or the joint name of those that it stands side by side with."""
        found: dict[str, list[LiveWire]] = {}
        for its in self.live_wires:
            found.setdefault(self.place_of(its.fuse(self.platform)), []).append(its)
        return {fuse: tuple(its) for fuse, its in found.items()}

    @cached_property
    def turned(self) -> tuple[str, ...]:
        """The switches but the key that stand otherwise than usual, by what was said."""
        parts = self.platform.parts
        its = ((name, parts.get(name), position) for name, position in self.state.switches.items())
        return tuple(n for n, p, at in its if isinstance(p, Switch) and not p.is_key and at != p.positions[0])

    def let_run(
        self, flows: Iterable[Flow], perhaps: Iterable[Flow], run_by: Mapping[str, str], added: Iterable[Flow]
    ) -> None:
        """Count what was switched on with what a sound car takes, as far as it may rest just now (`perhaps`), and what
        was `added` to it and stands by; before anything else is asked. `run_by` gives for each load the switch that
        lets it run."""
        self.run_by = dict(run_by)
        self.at_work = {flow.key: flow for flow in flows}
        its = self._apart({flow.key: flow for flow in added})
        self.beside = frozenset(self.at_work.keys() | its.keys())
        self.asleep |= {flow.key: flow for flow in perhaps} | its

    def with_joint(self, out: frozenset[str]) -> frozenset[str]:
        """Parts that are out, and the joint names of fuses side by side that are all out."""
        if not self.side_by_side:
            return out
        return out | {joint for joint, fuses in self.members.items() if out.issuperset(fuses)}

    def without_joint(self, out: frozenset[str]) -> frozenset[str]:
        return out.difference(self.members)

    def place_of(self, fuse: str) -> str:
        """The fuse, or the joint name of those that it stands side by side with."""
        return self.side_by_side.get(fuse, fuse)

    def speaks_for(self, fuse: str) -> bool:
        """Whether a fuse stands alone, or is the first of several side by side: what is behind them is told once."""
        return self.members.get(self.place_of(fuse), (fuse,))[0] == fuse

    @cached_property
    def relay_contacts(self) -> frozenset[str]:
        """Names of the contacts of relays."""
        return frozenset(self.circuit.links[link].contact for link in self.plan.relay_contacts)

    @cached_property
    def outputs_as_asked(self) -> frozenset[str]:
        """The outputs that give as much as is asked for."""
        return outputs_as_asked(self.platform)

    @cached_property
    def open_nets(self) -> frozenset[int]:
        """The nets that go on to what nobody typed in."""
        return self._nets_at(name for name, part in self.platform.parts.items() if isinstance(part, OpenEnd))

    @cached_property
    def open_feeds(self) -> frozenset[int]:
        """The nets that come from what nobody typed in, as their wires are drawn."""
        ends = ((name, part) for name, part in self.platform.parts.items() if isinstance(part, OpenEnd))
        return self._nets_at(name for name, part in ends if part.from_supply)

    @cached_property
    def module_nets(self) -> frozenset[int]:
        """The nets that a module has a pin on."""
        return self._nets_at(load.name for load in self.platform.loads if load.kind == "module")

    @cached_property
    def giving_nets(self) -> frozenset[int]:
        """The nets at a pin of a module of which it is not known that it only takes or listens there."""
        circuit, net_of = self.circuit, self.powered.nets.net_of
        takes = ("supply", "ground", "sense", "wake")
        modules = [load for load in self.platform.loads if load.kind == "module"]
        takers = {load.name: {pin for pin, role in load.roles.items() if role in takes} for load in modules}
        ends = ((name, end) for name in takers for end in circuit.terminals_of.get(name, ()))
        return frozenset(net_of[circuit.number[end]] for name, end in ends if end.pin not in takers[name])

    @cached_property
    def fused_nets(self) -> frozenset[int]:
        """The nets that a fuse feeds, be it only with the key."""
        return self._nets_at(fuse.name for fuse in self.platform.fuses)

    @cached_property
    def diodes(self) -> tuple[tuple[int, int], ...]:
        """The nets at the anode and at the cathode of each diode that this car has, or may have."""
        circuit, nets = self.circuit, self.powered.nets
        fitted = (n for n, link in enumerate(circuit.links) if link.kind == "diode" and nets.link_level[n] > 0)
        return tuple((nets.net_of[a], nets.net_of[b]) for a, b in (circuit.ends[n] for n in fitted))

    def _nets_at(self, names: Iterable[str]) -> frozenset[int]:
        circuit, net_of = self.circuit, self.powered.nets.net_of
        return frozenset(net_of[circuit.number[t]] for name in names for t in circuit.terminals_of.get(name, ()))

    @cached_property
    def has_several_batteries(self) -> bool:
        return sum(part.kind == "battery" for part in self.platform.parts.values()) > 1

    def evaluated(self, state: VehicleState) -> Powered:
        found = evaluate_beside(self.powered, state)
        self.effort.spend(_A_LOOK_COSTS * found.work if found.touched is not None else found.work // _ALL_AT_ONCE)
        return found.powered

    def looked_at(self, state: VehicleState, out: frozenset[str]) -> Powered:
        """A state with parts out, to see what is live in it: nothing is found out of what it draws, and it is no part
        of the work that is counted."""
        return evaluate_beside(self.powered, _with_out(state, self.without_joint(out))).powered

    def brought_by(self, powered: Powered, but: Container[FlowKey] = ()) -> tuple[Flow, ...]:
        """What a state draws beyond the parked vehicle, except for the currents in `but`, which are known already."""
        ways = CurrentWays(powered, self.ways)
        found = self.converters.apart(brought_in(powered, self.powered, ways, self.asleep, but).values())
        found = as_asked(found, self.outputs_as_asked, powered.state.stuck)
        self.effort.spend(
            _A_NODE_COSTS * ways.looked_at
            + len(self.plan.loads) // 2
            + sum(_A_FLOW_COSTS + _cost_of(flow.way) for flow in found)
        )
        return found

    def brought_in(self, state: VehicleState) -> tuple[Flow, ...]:
        """What a state draws beyond the parked vehicle; a state that was asked about before is not evaluated again:
        several faults bring the car into the same one."""
        key = _told_apart_by(state)
        if key not in self._brought_in:
            self._brought_in[key] = self.brought_by(self.evaluated(state))
        return self._brought_in[key]

    def has_work_for(self, times: int) -> bool:
        """Whether there is work left to do everything done so far this many times more."""
        return (times + 1) * (MOST_WORK - self.effort.left) <= MOST_WORK

    def takes_current(self, part: str) -> bool:
        """Whether a part is a load."""
        return part in self._load_number

    def may_try(self, name: str) -> bool:
        """Whether there is work left to find out what a part or network would draw; if not, it is left out and told."""
        if self.effort.used_up:
            self.left_out[name] = None
        return not self.effort.used_up

    def with_awake(self, name: str) -> WokenParked:
        """The vehicle with a network, or one module, kept awake."""
        known = self._woken.get(name)
        if known is None:
            state = replace(self.state, awake=frozenset({name}))
            powered = self.evaluated(state)
            awake = frozenset(network for network, answer in powered.networks.items() if answer == Answer.YES)
            known = self._woken[name] = WokenParked(state, self.brought_by(powered), awake)
        return known

    def know_stuck(self, contact: str, flows: Iterable[Flow]) -> None:
        """What one contact or output brings by being stuck closed, with nothing else awake."""
        self._stuck[contact] = frozenset(flow.owner for flow in flows)

    def owners_with_stuck(self, contact: str) -> frozenset[str]:
        """The parts that draw with one contact or output stuck closed by itself."""
        if contact not in self._stuck:
            self.know_stuck(contact, self.brought_in(replace(self.state, stuck=frozenset({contact}))))
        return self._stuck[contact]

    def asleep_without(self, out: frozenset[str]) -> tuple[Powered, dict[FlowKey, Flow]]:
        """The sound parked vehicle with parts out, and what it draws then."""
        powered = self.evaluated(_with_out(self.state, self.without_joint(out)))
        asleep = self._apart(asleep_in(powered, CurrentWays(powered, self.ways, self.with_joint(out))))
        still = {key: self.asleep[key] for key in self.beside if self.asleep[key].way.through.isdisjoint(out)}
        return powered, asleep | still

    def brought_without(
        self, state: VehicleState, out: frozenset[str], parked: Powered, asleep: dict[FlowKey, Flow]
    ) -> tuple[Flow, ...]:
        """What a state draws beyond the sound parked vehicle, both with parts out."""
        powered = self.evaluated(_with_out(state, self.without_joint(out)))
        ways = CurrentWays(powered, self.ways, self.with_joint(out))
        found = self.converters.apart(brought_in(powered, parked, ways, asleep).values())
        return as_asked(found, self.outputs_as_asked, state.stuck)

    def ends(self, state: VehicleState, out: str) -> bool:
        """Whether nothing is left of what a state brings, with a part, plug or pin out. Taken out of the sound vehicle
        it only takes away; so what is left is more than all that sleeps."""
        key = (out, *_told_apart_by(state))
        if key not in self._ends:
            self._ends[key] = not self.brought_without(state, frozenset({out}), self.powered, self.asleep)
        return self._ends[key]

    def _apart(self, flows: dict[FlowKey, Flow]) -> dict[FlowKey, Flow]:
        return {flow.key: flow for flow in self.converters.apart(flows.values())}

    def fed(self, module: str) -> Answer:
        """Whether a part is fed while parked; not known for a part whose feeds nobody typed."""
        sleeper = self.plan.sleeper_number.get(module)
        if sleeper is not None:
            return Answer(self.powered.settled.standing.fed[sleeper])
        power = self.powered.loads.get(module)
        return power.draws if power is not None else Answer.MAY_BE

    def fed_if_fitted(self, module: str) -> Answer:
        """Like `fed`, on a vehicle that has the equipment the part comes with, where nothing was said about it."""
        equipment = not_said(self.circuit, module, self.fitting)
        if not equipment:
            return self.fed(module)
        powered = self.evaluated(replace(self.state, fitting=with_equipment(self.fitting, equipment)))
        sleeper = self.plan.sleeper_number.get(module)
        if sleeper is not None:
            return Answer(powered.settled.standing.fed[sleeper])
        power = powered.loads.get(module)
        return power.draws if power is not None else Answer.MAY_BE

    def fed_with_key_on(self, module: str) -> Answer:
        """Whether a part is fed in the key position that feeds most."""
        sleeper = self.plan.sleeper_number.get(module)
        if sleeper is None:
            return self.fed(module)
        return Answer(self._key_on.settled.standing.fed[sleeper])

    def live_with_key_on(self, terminal: Terminal) -> bool:
        """Whether the key, in the position that feeds most, surely makes a terminal live that is dead when parked."""
        if terminal not in self.circuit.number or self.live(terminal) != Answer.NO:
            return False
        return self._key_on.supply.get(terminal, Answer.NO) == Answer.YES

    @cached_property
    def _key_on(self) -> Powered:
        positions = [position for key in keys_of(self.platform) for position in key.positions[1:]]
        states = [self.evaluated(replace(self.state, key=position, released=frozenset())) for position in positions]
        return max(states, key=lambda powered: sum(powered.settled.standing.fed), default=self.powered)

    def supplies_of(self, part: str) -> tuple[frozenset[str], ...]:
        """What each live supply pin of a part hangs on; empty where no live supply is known."""
        return tuple(way.through for _, _, way in self.pins_of(part))

    def pins_of(self, part: str) -> list[tuple[str, int, Way]]:
        """Each live supply pin with how surely it is live, and its way."""
        if part not in self._load_number:
            return []
        found = supply_ways(self.powered, self.ways, self._load_number[part])
        self.effort.spend(sum(_cost_of(way) for _, _, way in found))
        return found

    def way_to_its_cable(self, part: str) -> Way | None:
        """The way to what has a cable of its own, an alternator or starter, whether it may take anything there or not;
        None where nothing feeds it."""
        pins = self.circuit.loads[part].supplies if part in self.circuit.loads else ()
        return next((way for pin in pins if (way := self.ways.to(pin)) is not None), None)

    @cached_property
    def _load_number(self) -> dict[str, int]:
        return {name: n for n, name in enumerate(self.plan.loads)}

    def live(self, terminal: Terminal) -> Answer:
        return self.powered.supply.get(terminal, Answer.NO) if terminal in self.circuit.number else Answer.NO

    def way_behind(self, fuse: Fuse) -> Way | None:
        """The way to the outgoing side of a fuse that is live while parked; None for a dead one."""
        way = self.ways.to(Terminal(fuse.name, SECOND))
        if way is None and self.ways.to(Terminal(fuse.name, FIRST)) is not None:
            way = self.ways.to(Terminal(fuse.name, FIRST))
            assert way is not None
            way = way._replace(places=(fuse.name, *way.places), through=way.through | {fuse.name})
        self.effort.spend(_cost_of(way) if way is not None else 0)
        return way


def _cost_of(way: Way) -> int:
    through, places = len(way.through), len(way.places)
    return through + through**2 // _PARTS_APART + _A_PLACE_COSTS * places + places**2 // _PLACES_APART


def _told_apart_by(state: VehicleState) -> tuple[Hashable, ...]:
    """All that tells a state from others, to be found by."""
    return (
        state.awake, state.stuck, frozenset(state.switches.items()), state.bridged, state.driven, state.unplugged,
        state.pulled, state.inserted, state.released, state.was_in, state.feeding, state.key, state.minutes,
        state.stood, frozenset(state.fitting.items()),
    )  # fmt: skip


def _with_out(state: VehicleState, out: frozenset[str]) -> VehicleState:
    return replace(state, unplugged=state.unplugged | out, pulled=state.pulled | out)
