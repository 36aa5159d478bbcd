"""What flows in one settled state of the vehicle: whose current, how much, and the way it takes."""

from collections.abc import Container, Iterable, Iterator, Mapping
from typing import Literal, NamedTuple

from circuitmap.diagnosis.car.currents import (
    LEAST_SIGMA,
    Draw,
    coil_spread,
    drawn_asleep,
    drawn_awake,
    drawn_by_pin,
    drawn_by_resistance,
    drawn_running,
    is_coil_typed,
    on_each_pin,
)
from circuitmap.diagnosis.car.held_by import HeldBy
from circuitmap.diagnosis.car.passed_on import PassedOn, passed_on
from circuitmap.diagnosis.car.ways import CurrentWays, Way, posts_from
from circuitmap.diagnosis.weighing.log_normal import Spread
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO, YES
from circuitmap.power.waiting import asleep_level, may_wait
from circuitmap.wiring.parts import Load, Resistor

Taken = Literal["asleep", "awake", "running", "coil", "between", "own"]
"""What a current is: that of a part asleep, awake or running, of a relay's coil, from one battery into another, or a
fault's own."""

LIVE_PERHAPS = 0.5
"""Chance that a supply that may be live is live (judgement)."""


NOTHING_WHEN_AWAKE, NOTHING_WHEN_FED = 0.03, 0.3
"""Chance that a part takes next to nothing of which nobody typed what it takes: where it is awake; and where it is no
more than fed, like a timer that waits for its input (judgement)."""
NOTHING_PLUGGED_IN = 0.5
"""The same of a socket that is live: what it takes is what somebody left in it (judgement)."""


class FlowKey(NamedTuple):
    """What tells a current from others: who draws it, at which pin (empty: not at one of several pins), and what it
    is."""

    owner: str
    pin: str
    taken: Taken


class Flow(NamedTuple):
    """A current: its mean in A and variance in A^2, who draws it, and its way from the battery.

    `key` tells it from others, so that two faults that bring the same current bring it once. `assumed`: its amount is
    not transcribed. It flows at one of the owner's live supply pins, of which there are `pins`; `whole` is the mean and
    variance of all of them together. `nothing` is the chance that it is nothing at all.
    """

    key: FlowKey
    owner: str
    mean: float
    variance: float
    way: Way
    assumed: bool = False
    pins: int = 1
    whole: tuple[float, float] = (0.0, 0.0)
    nothing: float = 0.0

    @property
    def joins_batteries(self) -> bool:
        """Whether it flows from one battery into another."""
        return self.key.taken == "between"

    @property
    def holds_a_relay(self) -> bool:
        """Whether it is the current of a relay's coil; its owner is the relay."""
        return self.key.taken == "coil"


Picture = Mapping[FlowKey, Flow]


SIGNAL_LAMP = 0.02
"""In A: what takes no more is there to be seen while it is fed (judgement)."""


def asleep_in(powered: Powered, ways: CurrentWays) -> dict[FlowKey, Flow]:
    """What the parked vehicle draws: every part that is fed and asleep, and what waits at its control pin. A lamp or
    motor that seems to be on is
    switched by something that nobody typed, so it is taken to be off; but not where the sheet says what it takes, and
    that is next to nothing, as a signal lamp does, or an output that it calls always on holds it."""
    flows: dict[FlowKey, Flow] = {}
    plan = powered.plan
    held = _held_always(powered)
    for n, name in enumerate(plan.loads):
        level = asleep_level(powered, n)
        if level == NO:
            continue
        part = plan.circuit.platform.parts[name]
        its = passed_on(powered).get(name)
        if its is not None and its.at is not None:
            flows.update((flow.key, flow) for flow in _worked_out(powered, ways, name, its, "asleep"))
            continue
        if isinstance(part, Resistor):
            draw = drawn_by_resistance(part, plan.circuit.platform.supply_volts)
        else:
            draw = drawn_asleep(part, sleeps=name in plan.sleeper_number)
        if draw is not None:
            for flow in _on_pins(powered, ways, n, "asleep", draw, level):
                flows[flow.key] = flow
        elif (
            isinstance(part, Load)
            and part.running is not None
            and (part.running.high <= SIGNAL_LAMP or not held.isdisjoint(_supply_nets(powered, n)))
        ):
            running = drawn_running(part)
            for flow in _on_pins(powered, ways, n, "asleep", running, powered.draws[n]) if running is not None else ():
                flows[flow.key] = flow
    return flows


def _worked_out(
    powered: Powered, ways: CurrentWays, name: str, its: PassedOn, taken: Taken, but: Container[FlowKey] = ()
) -> Iterator[Flow]:
    """What a load takes through others, as far as that can be worked out: more than nothing only where it is live."""
    for pin, amps in (its.at or {}).items():
        key = FlowKey(name, pin.pin, taken)
        if amps > 0.0 and key not in but:
            way = way_to_pin(powered, ways, powered.circuit.number[pin], name)
            own = moments(Spread(amps, LEAST_SIGMA))
            yield Flow(key, name, *own, way._replace(through=way.through | its.back), whole=own)


def _held_always(powered: Powered) -> set[int]:
    """The nets that an output feeds as long as it is fed itself."""
    outputs = powered.circuit.platform.outputs
    ends = (its.terminal for its in outputs if its.when == "always" and its.action == "feeds")
    return {powered.nets.net_of[powered.circuit.number[end]] for end in ends if end in powered.circuit.number}


def _supply_nets(powered: Powered, load: int) -> set[int]:
    return {powered.nets.paths[path][0] for path in powered.plan.paths_of[load]}


def brought_in(
    powered: Powered, parked: Powered, ways: CurrentWays, asleep: Picture, but: Container[FlowKey] = ()
) -> dict[FlowKey, Flow]:
    """What a state draws beyond the parked one, except for the currents in `but`, which are known already: parts newly
    fed or awake, loads newly on, coils newly held."""
    flows: dict[FlowKey, Flow] = {}
    plan = powered.plan
    parts = plan.circuit.platform.parts
    awake, was_awake = powered.settled.standing.awake, parked.settled.standing.awake
    numbers: Iterable[int] = range(len(plan.loads))
    if awake == was_awake:  # then only what is now fed more surely draws more
        numbers = [n for n, (now, before) in enumerate(zip(powered.draws, parked.draws, strict=True)) if now > before]
    for n in numbers:
        name, fed, was_fed = plan.loads[n], powered.draws[n], parked.draws[n]
        if fed == NO:
            continue
        its = passed_on(powered).get(name)
        if its is not None and (its.at is not None or not its.live):
            if fed > was_fed:
                flows.update((flow.key, flow) for flow in _worked_out(powered, ways, name, its, "running", but))
            continue
        part = parts[name]
        sleeper = plan.sleeper_number.get(name)
        if sleeper is None:
            volts = plan.circuit.platform.supply_volts
            draw = drawn_by_resistance(part, volts) if isinstance(part, Resistor) else drawn_running(part)
            if fed > was_fed and draw is not None:
                draw = draw if its is None else its.no_more_than(draw)
                for flow in _on_pins(powered, ways, n, "running", draw, fed, but):
                    flows[flow.key] = _beyond(flow, asleep)
            continue
        if fed > was_fed and (draw := drawn_asleep(part, sleeps=True)) is not None:
            for flow in _on_pins(powered, ways, n, "asleep", draw, fed, but):
                if flow.key not in asleep:
                    flows[flow.key] = flow
        level = min(fed, awake[sleeper])
        if level > min(was_fed, was_awake[sleeper]) and (draw := drawn_awake(part)) is not None:
            if its is not None and not its.works_with(draw.spread.median):
                continue
            for flow in _on_pins(powered, ways, n, "awake", draw, level, but):
                flows[flow.key] = _beyond(flow, asleep)
    _add_coils(powered, parked, ways, flows, but)
    return flows


def _add_coils(
    powered: Powered, parked: Powered, ways: CurrentWays, flows: dict[FlowKey, Flow], but: Container[FlowKey]
) -> None:
    """The coils that are newly held. What flows through their contacts, and through outputs that are asked for, hangs
    on what holds them, too."""
    plan = powered.plan
    relays, before = powered.settled.standing.relays, parked.settled.standing.relays
    for n, coil in enumerate(plan.coils):
        number = plan.relay_number[coil.relay]
        if relays[number] <= before[number] or powered.nets.coils[n][2] == NO:
            continue
        way = ways.to_node(coil.plus) or ways.to_node(coil.minus)
        if way is not None:
            relay = powered.circuit.platform.parts[coil.relay]
            its = moments(coil_spread(relay), 1.0 if relays[number] == YES else LIVE_PERHAPS)
            flow = Flow(FlowKey(coil.relay, "", "coil"), coil.relay, *its, way, not is_coil_typed(relay))
            if flow.key not in but:
                flows[flow.key] = flow
    held = HeldBy(powered, parked, ways)
    for key, flow in flows.items():
        more = held.behind(flow.owner, flow.way.through)
        if not more <= flow.way.through:
            flows[key] = flow._replace(way=flow.way._replace(through=flow.way.through | more))


def _on_pins(
    powered: Powered, ways: CurrentWays, number: int, taken: Taken, draw: Draw, level: int, but: Container[FlowKey] = ()
) -> list[Flow]:
    """A load's current on each of its supply pins that is live, `but` those that are known. Where it was said what
    single pins take, that flows there, and nothing at the others."""
    name = powered.plan.loads[number]
    live = supply_ways(
        powered, ways, number, waits=taken == "asleep" and may_wait(powered.circuit.platform.parts[name])
    )
    said = drawn_by_pin(powered.circuit.platform.parts[name], taken)
    if any(pin in said for pin, _, _ in live):
        return _as_said(name, live, said, taken, level, but)
    flows = []
    nothing = _may_be_nothing(powered, name) if draw.assumed and taken != "running" else 0.0
    if taken == "running" and powered.circuit.platform.parts[name].kind == "socket":
        nothing = NOTHING_PLUGGED_IN
    spread = on_each_pin(draw.spread, len(live))
    for pin, its, way in live:
        key = FlowKey(name, pin, taken)
        if key in but:
            continue
        perhaps = min(level, its) != YES
        if perhaps and taken == "running":  # it runs or it rests: half of what it takes it never takes
            perhaps, nothing = False, LIVE_PERHAPS
        chance = LIVE_PERHAPS if perhaps else 1.0
        own, whole = moments(spread, chance), moments(draw.spread, chance)
        flows.append(Flow(key, name, *own, way, draw.assumed, len(live), whole, nothing))
    return flows


def _may_be_nothing(powered: Powered, name: str) -> float:
    """The chance that a part of which nobody typed what it takes takes nothing although it is fed. One that is on no
    network, and has no pin that wakes it, is only taken to be awake because it is fed."""
    platform = powered.plan.circuit.platform
    part = platform.parts[name]
    told = name in platform.networks_of or (isinstance(part, Load) and bool(part.pins_with("wake")))
    return NOTHING_WHEN_AWAKE if told else NOTHING_WHEN_FED


def _as_said(
    name: str,
    live: list[tuple[str, int, Way]],
    said: Mapping[str, Spread],
    taken: Taken,
    level: int,
    but: Container[FlowKey],
) -> list[Flow]:
    flows = []
    for pin, its, way in live:
        key = FlowKey(name, pin, taken)
        if key not in but and pin in said:
            own = moments(said[pin], 1.0 if min(level, its) == YES else LIVE_PERHAPS)
            flows.append(Flow(key, name, *own, way))
    return flows


def supply_ways(powered: Powered, ways: CurrentWays, number: int, *, waits: bool = False) -> list[tuple[str, int, Way]]:
    """Each supply pin of a load that is live, how surely it is, and the way to it. `waits`: whatever switches it on
    does not."""
    name, nodes = powered.plan.loads[number], powered.circuit.nodes
    pins = live_pins(powered, number, waits=waits)
    return [(nodes[node].pin, level, way_to_pin(powered, ways, node, name)) for node, level in pins.items()]


def live_pins(powered: Powered, number: int, *, waits: bool = False) -> dict[int, int]:
    """The node and level of each supply pin at which a load takes current, or would if it did not wait."""
    level_of = powered.run.flowing if waits else powered.run.drawn
    live: dict[int, int] = {}
    for path in powered.plan.paths_of[number]:
        level = level_of(path, powered.settled.reach)
        if level != NO:
            its = powered.plan.paths[path]
            node = its.ground if powered.run.turned(path, powered.settled.reach) else its.supply
            live[node] = max(live.get(node, NO), level)
    return live


def way_to_pin(powered: Powered, ways: CurrentWays, node: int, owner: str) -> Way:
    """The way to a load's pin, which also hangs on the part itself and on the plug the pin is in."""
    way = ways.to_node(node) or _untyped_way(powered, node)
    pin = powered.circuit.nodes[node].pin
    own = {owner, f"{owner}.{pin.rpartition('.')[0]}"} if "." in pin else {owner}
    return way._replace(through=way.through | own)


def _beyond(flow: Flow, asleep: Picture) -> Flow:
    """Being awake, or at work, brings what is drawn beyond being asleep."""
    base = asleep.get(flow.key._replace(taken="asleep"))
    if base is None:
        return flow
    whole = (max(flow.whole[0] - base.whole[0], 0.1 * flow.whole[0]), flow.whole[1])
    return flow._replace(mean=max(flow.mean - base.mean, 0.1 * flow.mean), whole=whole)


def _untyped_way(powered: Powered, node: int) -> Way:
    """The way to a pin whose supply nobody typed: only the battery is known."""
    return Way(posts_from(powered.circuit, powered.circuit.nodes[node]), frozenset(), False)


def moments(spread: Spread, chance: float = 1.0) -> tuple[float, float]:
    """Mean and variance of a current that flows with this chance."""
    mean = spread.mean
    return chance * mean, chance * (spread.variance + mean * mean) - (chance * mean) ** 2
