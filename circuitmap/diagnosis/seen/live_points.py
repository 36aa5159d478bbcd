"""Volts at any point: plus where each fault makes it live, none where it does not; with what was out at the time."""

from collections.abc import Iterable, Sequence

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import DRIVES_IT_ANYWAY, DRIVES_IT_BY_ITSELF, DRIVES_ITS_LINE
from circuitmap.diagnosis.faults.wake_lines import wake_lines
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.diagnosis.seen.some_volts import DEAD_SHOWS_SOME, LIVE, Shows, is_some, loads_fed_at, shown
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Load, Terminal

PERHAPS = 0.5
"""Chance that a point shows plus of which it is not known whether it is live (judgement)."""
STRAY, PULLED_UP = 0.003, 0.30
"""Chance that a point shows plus that nothing feeds: the probe was at the point beside; or a module puts it there by a
resistor inside, at a pin that watches whether somebody grounds it (judgement)."""
ASKED = 0.75
"""Chance of plus at a pin at which something on no sheet asks for a module: more often by plus than by ground
(judgement). Where nothing asks, a wire that goes on to no sheet shows no more than a pin that a module holds up."""
GROUNDED = 0.01
"""Chance that a point on ground shows plus (judgement)."""


def live_seen(volts: Iterable[PinVolts], faults: Sequence[Fault], parked: Parked) -> list[StateSighting[PinVolts]]:
    """Volts that are plus or none; what is between says something only where a dead point feeds a load to ground. A
    cavity of a plug that was parted has two halves, and nobody said which one was probed."""
    supply = parked.platform.supply_volts
    by_out: dict[frozenset[str], list[PinVolts]] = {}
    for one in volts:
        if one.pin in parked.circuit.number and not (one.pin.half and one.pin.part in one.without):
            by_out.setdefault(frozenset(one.without), []).append(one)
    found = []
    for out, every in by_out.items():
        sound = parked.looked_at(parked.state, out)
        loads = {one.pin: _fed_at(parked, sound, one.pin) for one in every}
        its = [one for one in every if _tells(one, supply, loads[one.pin])]
        stray = {one.pin: _by_a_resistor(parked, one.pin) for one in its}
        driven_by = {one.pin: _drivers(parked, one.pin) for one in its}
        known = parked.plus_at.setdefault((out, tuple(one.pin for one in its)), {})
        for fault in faults:
            if fault.state is not None and id(fault.state) not in known:
                powered = parked.looked_at(fault.state, out)
                known[id(fault.state)] = [
                    (_plus(powered, one.pin, stray[one.pin]), _awake(parked, powered, driven_by[one.pin]))
                    for one in its
                ]
        for n, one in enumerate(its):
            fed = loads[one.pin]
            healthy = _plus(sound, one.pin, stray[one.pin])
            asking = _asking(faults, one.pin.part) if not out and stray[one.pin] == PULLED_UP else []
            if asking and healthy == PERHAPS:
                healthy = PULLED_UP
            chances = {
                number: chance
                for number, fault in enumerate(faults)
                if fault.state is not None and (chance := _with_drivers(fault, *known[id(fault.state)][n])) != healthy
            }
            if asking:
                chances = {n: its for n, its in chances.items() if its != PERHAPS} | dict.fromkeys(asking, ASKED)
            shows = {n: shown(faults[n], chance, fed, parked) for n, chance in chances.items()}
            some = bool(fed) and is_some(one, supply)
            sound_shows = Shows(healthy, DEAD_SHOWS_SOME if fed else 0.0)
            found.append(_sighting(one, some, one.volts >= NEAR_PLUS * supply, sound_shows, shows))
    return found


def plus_at(parked: Parked, fault: Fault | None, pin: Terminal) -> float:
    """The chance that a point shows plus under a fault, with nothing out; None: on a sound vehicle."""
    state = parked.state if fault is None or fault.state is None else fault.state
    return _plus(parked.looked_at(state, frozenset()), pin, _by_a_resistor(parked, pin))


def _fed_at(parked: Parked, sound: Powered, pin: Terminal) -> frozenset[str]:
    """The loads that a dead point feeds to ground, where no module holds it up by a resistor."""
    return loads_fed_at(parked, sound, pin) if _by_a_resistor(parked, pin) == STRAY else frozenset()


def _tells(one: PinVolts, supply: float, fed: frozenset[str]) -> bool:
    return bool(fed) or abs(one.volts) <= NEAR_GROUND * supply or one.volts >= NEAR_PLUS * supply


def _drivers(parked: Parked, pin: Terminal) -> frozenset[str]:
    """The modules with an output that may wake others by the wire at a point, whenever its module wants."""
    return frozenset(its for its, _, _ in wake_lines(parked, parked.powered.nets.net_of[parked.circuit.number[pin]]))


def _awake(parked: Parked, powered: Powered, modules: frozenset[str]) -> frozenset[str]:
    awake, number = powered.settled.standing.awake, parked.plan.sleeper_number
    return frozenset(name for name in modules if name in number and awake[number[name]] == YES)


def _with_drivers(fault: Fault, chance: float, drivers: frozenset[str]) -> float:
    """The chance of plus at a point that nothing is known to feed, but an output of a module that is awake may."""
    if not drivers or chance >= PERHAPS:
        return chance
    if fault.module not in drivers:
        return max(chance, DRIVES_IT_ANYWAY)
    return max(chance, DRIVES_ITS_LINE if fault.kind == "wrong-input" else DRIVES_IT_BY_ITSELF)


def _asking(faults: Sequence[Fault], module: str) -> list[int]:
    """The faults by which something that is on no sheet tells a module that it is needed."""
    return [n for n, fault in enumerate(faults) if fault.has("inputs") and fault.undrawn and fault.part == module]


def _sighting(
    one: PinVolts, some: bool, plus: bool, healthy: Shows, chances: dict[int, Shows]
) -> StateSighting[PinVolts]:
    """Of two faults the one that makes it live counts."""

    def chance_of(shows: Shows) -> float:
        return shows.some if some else shows.plus if plus else 1.0 - shows.plus - shows.some

    order = sorted(set(chances.values()))
    ranks = {number: order.index(its) for number, its in chances.items()}
    return StateSighting(one, chance_of(healthy), tuple(map(chance_of, order)), ranks)


def _plus(powered: Powered, pin: Terminal, stray: float) -> float:
    """The chance that a point shows plus in a state."""
    live = powered.supply.get(pin, Answer.NO)
    if live == Answer.YES:
        return LIVE
    if live == Answer.MAY_BE:
        return PERHAPS
    return GROUNDED if powered.ground.get(pin, Answer.NO) == Answer.YES else stray


def _by_a_resistor(parked: Parked, pin: Terminal) -> float:
    """The chance of plus at a point that nothing feeds: more, where a module may hold it up to see it grounded."""
    nets, circuit = parked.powered.nets, parked.circuit
    net = nets.net_of[circuit.number[pin]]
    by_plus = {wake.node for sleeper in parked.plan.sleepers for wake in sleeper.wake_pins if wake.by == "plus"}
    for number, node in enumerate(circuit.nodes):
        part = parked.platform.parts.get(node.part)
        if nets.net_of[number] != net or number in by_plus or not isinstance(part, Load) or part.kind != "module":
            continue
        if node.pin in (*part.pins_with("sense"), *part.pins_with("wake")):
            return PULLED_UP
    return STRAY
