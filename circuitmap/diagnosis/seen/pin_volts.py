"""Volts at a module's pin that watches a switch: whether its wire really says what the module believes.

A wire on ground and an input that believes it is are told apart by the volts at the pin: what comes in from outside is
there to be measured, what the module only believes is not.
"""

from collections.abc import Collection, Iterable, Sequence
from typing import Literal, NamedTuple

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
At = Literal["ground", "plus", "between"]


def volts_seen(volts: Iterable[PinVolts], faults: Sequence[Fault], parked: Parked) -> list[StateSighting[PinVolts]]:
    """What was measured at pins that watch a switch, and at coils; at any other point, or with something out, what each
    fault makes live says it."""
    found = []
    elsewhere: list[PinVolts] = []
    for one in {(its.pin, frozenset(its.without)): its for its in volts}.values():
        if one.without:
            elsewhere.append(one)
            continue
        module = parked.platform.parts.get(one.pin.part)
        if isinstance(module, Relay) and one.pin.pin in module.coil:
            coil = _coil_seen(one, module, faults, parked)
            found += [coil] if coil is not None else []
            continue
        its_inputs = _inputs_at(parked, one.pin)
        says = pin_says(parked, one.pin)
        if says is not None:
            at = _at(one.volts, parked.platform.supply_volts)
            if _partly(at, says.in_use, one.volts):
                leaks = {n: 0 for n, f in enumerate(faults) if f.leak and str(one.pin) in f.others}
                found.append(StateSighting(one, LEAKS_ELSE, (LEAKS,), leaks))
                continue
            shown = at == says.in_use if says.in_use != "between" else at != "ground"
            sound, wrong = (says.pulled, SEEN) if shown else (1.0 - says.pulled, 1.0 - SEEN)
            found.append(StateSighting(one, sound, (wrong,), dict.fromkeys(brought_to(parked, faults, says), 0)))
        if not its_inputs:
            elsewhere.append(one)
    return [*found, *live_seen(elsewhere, faults, parked)]


class PinSays(NamedTuple):
    """What a module's pin shows while a switch that it watches is in use, where it shows something else at rest, and
    all the switches at that pin; but for those that are fed by what is dead, and bring nothing."""

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
    sleeper = parked.plan.sleeper_number.get(its.pin.part)
    pins = parked.plan.sleepers[sleeper].wake_pins if sleeper is not None else ()
    wake = next((one for one in pins if parked.circuit.nodes[one.node] == its.pin and not one.absent), None)
    by = wake.by if wake is not None and use == "between" else None
    return by if by in ("plus", "ground") else None


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
