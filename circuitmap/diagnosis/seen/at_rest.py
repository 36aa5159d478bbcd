"""Which switches were measured at rest: at no wire of theirs stands what they bring when they are closed."""

from collections.abc import Iterable
from typing import NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.inputs import in_use, inputs_of
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.evidence.checks_at_parts import InputSeen, PinVolts
from circuitmap.power.evaluate import Powered
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Load, Terminal


class AtRest(NamedTuple):
    """Switches `by_volts` at all pins that watch them, or `by_data` as the module itself sees them; `quiet` are pins
    that wake by plus, or by ground, or that another module's output tells something so, and did not have it. `modules`
    are those all of whose inputs are at rest so."""

    by_volts: tuple[str, ...] = ()
    by_data: tuple[str, ...] = ()
    quiet: tuple[str, ...] = ()
    modules: tuple[str, ...] = ()


def measured_at_rest(volts: Iterable[PinVolts], inputs: Iterable[InputSeen], parked: Parked) -> AtRest:
    """With everything in; of one pin the last reading counts."""
    latest = {one.pin: one.volts for one in volts if not one.without and one.pin in parked.circuit.number}
    quiet = tuple(pin for pin, its in latest.items() if _is_quiet(parked, pin, its))
    nets, number = parked.powered.nets, parked.circuit.number
    silent = {nets.net_of[number[pin]] for pin in quiet}
    right = {part for part, is_right in {one.part: one.right for one in inputs}.items() if is_right}
    by_volts, by_data = [], []
    watched = _pieces_watched(parked) if silent else frozenset[int]()
    loads = [part for name in {pin.part for pin in quiet} if isinstance(part := parked.platform.parts[name], Load)]
    read_there = {one.switch.name for module in loads for one in inputs_of(parked, module)}
    for switch in sorted(read_there | right):
        its = _watched_at(parked, switch, watched)
        if switch in read_there and its and its <= silent:
            by_volts.append(switch)
        elif switch in right:
            by_data.append(switch)
    modules = []
    for load in loads:
        own = inputs_of(parked, load)
        pins = (Terminal(load.name, pin) for role in ("sense", "wake") for pin in load.pins_with(role))
        told = [pin for pin in pins if _told_by(parked, pin)]
        is_right = all(one.pin in quiet or one.switch.name in by_data for one in own)
        if (own or told) and is_right and all(pin in quiet for pin in told):
            modules.append(load.name)
    return AtRest(tuple(by_volts), tuple(by_data), tuple(map(str, quiet)), tuple(sorted(modules)))


def _is_quiet(parked: Parked, pin: Terminal, volts: float) -> bool:
    """Whether a module's pin shows what it shows at rest, and not what its contacts bring in use, or what wakes its
    module."""
    module, supply = parked.platform.parts.get(pin.part), parked.platform.supply_volts
    if not isinstance(module, Load):
        return False
    shown = "ground" if abs(volts) <= NEAR_GROUND * supply else "plus" if volts >= NEAR_PLUS * supply else "between"
    rest = _shows(parked.powered, pin)
    its = (one for one in inputs_of(parked, module) if one.pin == pin)
    used = {_shows(parked.looked_at(in_use(parked, one), frozenset()), pin) for one in its} - {rest}
    node = parked.circuit.number[pin]
    used |= _told_by(parked, pin)
    used |= {wake.by for sleeper in parked.plan.sleepers for wake in sleeper.wake_pins if wake.node == node}
    if rest == "ground" and used:
        return shown == "ground"
    if used == {"plus"}:
        return shown == "ground"
    return used == {"ground"} and shown == "plus"


def _told_by(parked: Parked, pin: Terminal) -> set[str]:
    """What outputs of other modules bring to a pin while they are on."""
    nets, number = parked.powered.nets, parked.circuit.number
    if pin not in number:
        return set()
    net = nets.net_of[number[pin]]
    others = (its for its in parked.platform.outputs if its.module != pin.part and its.terminal in number)
    here = (its for its in others if nets.net_of[number[its.terminal]] == net)
    return {"plus" if its.action == "feeds" else "ground" for its in here}


def _shows(powered: Powered, pin: Terminal) -> str:
    if powered.ground.get(pin, Answer.NO) == Answer.YES:
        return "ground"
    return "plus" if powered.supply.get(pin, Answer.NO) == Answer.YES else "between"


def _pieces_watched(parked: Parked) -> frozenset[int]:
    """The pieces of copper that a module's sensing or wake pin is on, but for supplies and grounds."""
    nets, circuit = parked.powered.nets, parked.circuit
    always = {nets.net_of[circuit.number[t]] for t in (*circuit.supplies, *circuit.on_ground) if t in circuit.number}
    pins = (
        Terminal(load.name, p) for load in parked.platform.loads for r in ("sense", "wake") for p in load.pins_with(r)
    )
    return frozenset(nets.net_of[circuit.number[pin]] for pin in pins if pin in circuit.number) - always


def _watched_at(parked: Parked, switch: str, watched: frozenset[int]) -> frozenset[int]:
    """The pieces of copper by which modules watch a switch."""
    nets, circuit = parked.powered.nets, parked.circuit
    links = (link for link, planned in parked.plan.switch_contacts.items() if planned.switch == switch)
    ends = {nets.net_of[end] for link in links for end in circuit.ends[link]}
    return frozenset(ends & watched)
