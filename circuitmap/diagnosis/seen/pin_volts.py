"""Volts at a module's pin that watches a switch: whether its wire really says what the module believes.

A wire on ground and an input that believes it is are told apart by the volts at the pin: what comes in from outside is
there to be measured, what the module only believes is not.
"""

from collections.abc import Collection, Iterable, Sequence
from typing import Literal, NamedTuple

from circuitmap.circuit.links import BODY
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates_waking import is_wake_wire
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.input_wires import is_input_wire
from circuitmap.diagnosis.faults.inputs import Input, in_use, inputs_of
from circuitmap.diagnosis.faults.looking import relay_under
from circuitmap.diagnosis.seen.live_points import live_seen
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.power.evaluate import Powered
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Load, Relay, Terminal

SEEN = 0.95
"""Chance that a pin shows what its wire brings (judgement)."""
PULLED = 0.10
"""Chance that a pin shows a signal that its wire does not bring: the module's own input is shorted, or the probe was at
the pin beside (judgement)."""
PULLED_TO_PLUS = 0.02
"""The same of plus at a pin that waits for plus: no module holds such a pin up (judgement)."""
LEAKS, LEAKS_ELSE = 0.60, 0.10
"""Chance that a pin shows some volts, neither ground nor plus, where water lets through what its switch would bring;
and otherwise (judgement)."""
PULLED_DOWN = 4.0
"""Below so many volts a pin that waits for ground is pulled down: those that rest at less than the supply rest at five
(common practice, no source)."""
DIODE_VOLTS = Band(0.4, 0.9)
"""What ground shows that comes over a diode, in V (common practice, no source)."""
OVER_A_DIODE = 0.9
"""Chance that it does, and that a wire which is on ground itself shows less or more (judgement)."""
At = Literal["ground", "plus", "between"]


def volts_seen(volts: Iterable[PinVolts], faults: Sequence[Fault], parked: Parked) -> list[StateSighting[PinVolts]]:
    """What was measured at pins that watch a switch, and at coils; at any other point, or where what is out changes
    what a sound pin shows, what each fault makes live says it."""
    found = []
    elsewhere: list[PinVolts] = []
    at_pins: list[HeardAtPin] = []
    for one in {(its.pin, frozenset(its.without)): its for its in volts}.values():
        says = pin_says(parked, one.pin)
        heard = heard_at(parked, faults, one, says, _at(one.volts, parked.platform.supply_volts)) if says else None
        if heard is not None and not _partly(heard.at, heard.says.in_use, one.volts):
            at_pins.append(heard)
            continue
        if one.without:
            elsewhere.append(one)
            continue
        module = parked.platform.parts.get(one.pin.part)
        if isinstance(module, Relay) and one.pin.pin in module.coil:
            coil = _coil_seen(one, module, faults, parked)
            found += [coil] if coil is not None else []
            continue
        if heard is not None:
            leaks = {n: 0 for n, f in enumerate(faults) if f.leak and str(one.pin) in f.others}
            found.append(StateSighting(one, LEAKS_ELSE, (LEAKS,), leaks))
        elif not _inputs_at(parked, one.pin):
            elsewhere.append(one)
    found += [_sighting(parked, faults, heard) for heard in said_once(at_pins)]
    return [*found, *live_seen(elsewhere, faults, parked)]


def pins_heard(volts: Iterable[PinVolts], faults: Sequence[Fault], parked: Parked) -> frozenset[str]:
    """The points whose volts need not be measured again: with nothing out, or with what changes nothing there."""
    supply = parked.platform.supply_volts

    def tells(one: PinVolts) -> bool:
        says = pin_says(parked, one.pin) if one.without else None
        return says is not None and heard_at(parked, faults, one, says, _at(one.volts, supply)) is not None

    return frozenset(str(one.pin) for one in volts if not one.without or tells(one))


class HeardAtPin(NamedTuple):
    """Volts at a pin that tell of a switch: `at` what they are, `says` what they say, and the faults, by number, that
    `bring` there what the pin shows in use, with what was out just then."""

    one: PinVolts
    at: At
    says: "PinSays"
    bring: frozenset[int]

    @property
    def in_use(self) -> bool:
        """Whether the pin shows what it shows in use."""
        return self.at == self.says.in_use if self.says.in_use != "between" else self.at != "ground"


def heard_at(parked: Parked, faults: Sequence[Fault], one: PinVolts, says: "PinSays", at: At) -> HeardAtPin | None:
    """None where something is out that changes what a sound pin shows, or that feeds its module or is plugged on it.
    What else is out says which faults bring nothing there any more: a switch that is out itself, a wire beyond it."""
    bring = frozenset(brought_to(parked, faults, says))
    out = frozenset(one.without)
    if not out:
        return HeardAtPin(one, at, says, bring)
    module, supplies = one.pin.part, parked.supplies_of(one.pin.part)
    touched = any(name == module or name.startswith(f"{module}.") for name in out)
    unfed = bool(supplies) and not any(out.isdisjoint(its) for its in supplies)
    sound = _shows(parked.looked_at(parked.state, out), one.pin)
    if says.in_use == "plus" or touched or unfed or sound != _shows(parked.powered, one.pin):
        return None

    def goes_on(fault: Fault) -> bool:
        if fault.state is None:
            return out.isdisjoint((fault.part, *fault.others))
        with_it = _shows(parked.looked_at(fault.state, frozenset()), one.pin)
        return with_it == _shows(parked.looked_at(fault.state, out), one.pin)

    return HeardAtPin(one, at, says, frozenset(n for n in bring if goes_on(faults[n])))


def said_once(heard: Sequence[HeardAtPin]) -> list[HeardAtPin]:
    """Without those that another one at the same pin says, too, and more: in use by fewer faults, or at rest although
    more would bring it. What the module's own input does wrong it does each time."""
    return [
        own
        for n, own in enumerate(heard)
        if not any(
            (own.one.pin, own.at) == (other.one.pin, other.at)
            and (m > n if own.bring == other.bring else _says_more(other, own))
            for m, other in enumerate(heard)
        )
    ]


def _says_more(other: HeardAtPin, own: HeardAtPin) -> bool:
    return other.bring < own.bring if own.in_use else other.bring > own.bring


def _sighting(parked: Parked, faults: Sequence[Fault], heard: HeardAtPin) -> StateSighting[PinVolts]:
    """Ground over a diode is that diode's volts above it, which tells it from a wire that is itself on ground, wherever
    one of the faults has it come so. Of two faults the one that is on ground itself counts."""
    pulled = heard.says.pulled
    sound, wrong = (pulled, SEEN) if heard.in_use else (1.0 - pulled, 1.0 - SEEN)
    over = {n for n in heard.bring if heard.in_use and heard.at == "ground" and _over_a_diode(parked, faults[n], heard)}
    if not over:
        return StateSighting(heard.one, sound, (wrong,), dict.fromkeys(heard.bring, 0))
    share = OVER_A_DIODE if DIODE_VOLTS.low <= heard.one.volts <= DIODE_VOLTS.high else 1.0 - OVER_A_DIODE
    ranks = {n: 0 if n in over else 1 for n in heard.bring}
    return StateSighting(heard.one, sound / 2.0, (wrong * share, wrong * (1.0 - share)), ranks)


def _over_a_diode(parked: Parked, fault: Fault, heard: HeardAtPin) -> bool:
    """Whether what a fault grounds is parted from the pin by a diode: no point of it is on the pin's own wire."""
    nets, circuit = parked.powered.nets, parked.circuit
    grounded = [end for pair in fault.state.bridged for end in pair if end != BODY] if fault.state is not None else []
    ends = grounded or circuit.terminals_of.get(fault.part, ())
    own = nets.net_of[circuit.number[heard.one.pin]]
    at = {nets.net_of[circuit.number[end]] for end in ends if end in circuit.number}
    return bool(at) and own not in at


class PinSays(NamedTuple):
    """What a module's pin shows while a switch that it watches is in use, where it shows something else at rest, and
    all the switches at that pin; but for those that are fed by what is dead, and bring nothing, unless only such are
    there: then plus can come in by them, if their feed is wrong, too."""

    pin: Terminal
    in_use: At
    switches: frozenset[str]
    dead: frozenset[str] = frozenset()

    @property
    def pulled(self) -> float:
        """The chance that the pin shows the signal without its wire."""
        return PULLED_TO_PLUS if self.in_use == "plus" else PULLED


def pin_says(parked: Parked, pin: Terminal) -> PinSays | None:
    """What volts to ground at a module's pin say of the switches there; None where no switch is watched, or where they
    would say nothing."""
    its_inputs = _inputs_at(parked, pin)
    in_use_it_shows = _in_use_it_shows(parked, its_inputs[0]) if its_inputs else None
    if in_use_it_shows is None:
        return None
    dead = frozenset(its.switch.name for its in its_inputs if its.dead)
    if dead.issuperset(its.switch.name for its in its_inputs) and not _wakes_at(parked, pin):
        return PinSays(pin, in_use_it_shows, dead)
    return PinSays(pin, in_use_it_shows, frozenset(its.switch.name for its in its_inputs) - dead, dead)


def brought_to(parked: Parked, faults: Sequence[Fault], says: PinSays) -> list[int]:
    """The faults, by number, that bring to a pin what it shows in use."""
    return [
        n
        for n, fault in enumerate(faults)
        if (fault.part not in says.dead and _comes_in_at(parked, fault, says.pin, says.switches))
        or (says.in_use == "plus" and is_wake_wire(fault) and str(says.pin) in fault.others)
    ]


def _inputs_at(parked: Parked, pin: Terminal) -> list[Input]:
    module = parked.platform.parts.get(pin.part)
    return [its for its in inputs_of(parked, module) if its.pin == pin] if isinstance(module, Load) else []


def _coil_seen(one: PinVolts, relay: Relay, faults: Sequence[Fault], parked: Parked) -> StateSighting[PinVolts] | None:
    """Volts at one end of a relay's coil, where they say whether it is driven. Its plus on ground, or its other end on
    plus, drive no coil; a plus that is dead when parked and has volts, or another end that is on ground and was not,
    does."""
    plus, minus = (Terminal(relay.name, pin) for pin in relay.coil)
    at = _at(one.volts, parked.platform.supply_volts)
    rest = _shows(parked.powered, one.pin)
    if one.pin == plus:
        driven = {"ground": False, "plus": True}.get(at) if at == "ground" or rest != "plus" else None
    elif one.pin == minus:
        driven = {"plus": False, "ground": True}.get(at) if at == "plus" or rest != "ground" else None
    else:
        driven = None
    if driven is None:
        return None
    held = {n: 0 for n, fault in enumerate(faults) if relay_under(fault, relay.name) == "held"}
    sound, holding = (PULLED, SEEN) if driven else (SEEN, 1.0 - SEEN)
    return StateSighting(one, sound, (holding,), held)


def _in_use_it_shows(parked: Parked, its: Input) -> At | None:
    """What the pin shows with the switch as it stands in use, where that is not what it shows at rest. `between`: not
    ground any more. Where the switch brings nothing by what is known of its feed, what wakes at the pin tells."""
    rest, use = _shows(parked.powered, its.pin), _shows(parked.evaluated(in_use(parked, its)), its.pin)
    if use != rest:
        return use
    by = _wakes_at(parked, its.pin) if use == "between" else None
    if by == "plus" or (by is None and use == "between" and its.dead):
        return "plus"
    return "ground" if by == "ground" else None


def _wakes_at(parked: Parked, pin: Terminal) -> str | None:
    """What wakes a module at a pin; None where nothing does."""
    sleeper = parked.plan.sleeper_number.get(pin.part)
    pins = parked.plan.sleepers[sleeper].wake_pins if sleeper is not None else ()
    return next((one.by for one in pins if parked.circuit.nodes[one.node] == pin and not one.absent), None)


def _partly(at: At, wanted: At, volts: float) -> bool:
    """Whether a pin shows part of what its switch would bring."""
    return at == "between" and (wanted == "plus" or (wanted == "ground" and volts < PULLED_DOWN))


def _shows(powered: Powered, pin: Terminal) -> At:
    if powered.ground.get(pin, Answer.NO) == Answer.YES:
        return "ground"
    return "plus" if powered.supply.get(pin, Answer.NO) == Answer.YES else "between"


def _at(volts: float, supply: float) -> At:
    if abs(volts) <= NEAR_GROUND * supply:
        return "ground"
    return "plus" if volts >= NEAR_PLUS * supply else "between"


def _comes_in_at(parked: Parked, fault: Fault, pin: Terminal, switches: Collection[str]) -> bool:
    """Whether a fault brings its signal to the pin from outside: by a switch at it, or by the wire. An open wire is to
    the pin what the open switch is: what the module itself puts there is there alike."""
    if not fault.has("inputs") or fault.module != pin.part or fault.pin:
        return False
    if is_input_wire(parked.platform, fault) and any(name in switches for name in fault.others):
        return True
    return fault.part in switches or str(pin) in fault.others
