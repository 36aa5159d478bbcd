"""How the current of a load follows the volts across it.

A heater is a resistance. A lamp's current goes as a power of the volts (`power/filament.py`). A
module takes the same current at any volts, and stops in a line below half of the nominal (judgement). A motor that
runs is taken as a resistance, too. What is said to be regulated takes the same power; a lamp of LEDs with resistors
takes nothing below the volts of its diodes, and above them in a line.
"""

from typing import Literal, NamedTuple, assert_never

from circuitmap.power.filament import conductance_share
from circuitmap.power.typical import CONSTANT_BY_KIND, HEADLAMP, HEADLAMP_PINS, RELAY_COIL, RUNNING_BY_KIND, at_voltage
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Load, Part, Relay, Resistor

Manner = Literal["resistance", "filament", "steady", "power", "led"]
FADES_BELOW = 0.5
"""Share of the nominal volts below which a module's current falls in a line to nothing (judgement)."""
LEAST_OF_REGULATED = 0.7
"""Share of the nominal volts below which a regulated load no longer holds its power, and fades as a resistance does
(judgement: many cut out before that, and then nothing flows)."""
LED_DROP = 0.6
"""Share of the nominal volts that the diodes of an LED lamp hold, three in a row of a 12 V one; the rest is across its
resistor (judgement)."""
NEXT_TO_NOTHING = 1e-9
_TYPED = 0.10
"""How far a load is from the current that was typed (judgement: make, volts at which it was said)."""


class Takes(NamedTuple):
    """The current in A that a load takes at its nominal `volts`: the least, usual, most; and how it follows the
    volts. `source` says where the figure is from, `typed` whether it was typed in, `by_pin` that it is of one pin."""

    manner: Manner
    volts: float
    low: float
    usual: float
    high: float
    typed: bool
    source: str
    by_pin: bool = False

    def next_volts(self, before: float, now: float) -> float:
        """The volts to look at next: of an LED halfway, because its conductance rises with them and would overshoot."""
        return (before + now) / 2 if self.manner == "led" else now

    def conductance(self, volts: float, share: float = 1.0) -> float:
        """Amperes per volt at these volts, for `share` of the usual current."""
        amps = self.usual * share
        across = abs(volts)
        match self.manner:
            case "resistance":
                return amps / self.volts
            case "filament":
                return amps / self.volts * conductance_share(across / self.volts)
            case "steady":
                return amps / max(across, FADES_BELOW * self.volts)
            case "power":
                return amps * self.volts / max(across, LEAST_OF_REGULATED * self.volts) ** 2
            case "led":
                above = across / self.volts - LED_DROP
                return max(amps * above / ((1 - LED_DROP) * max(across, 1e-6)), NEXT_TO_NOTHING)
            case _ as unknown:
                assert_never(unknown)


def takes_of(part: Part, nominal: float, running: bool, pin: str = "") -> Takes | None:
    """What a load takes while it runs (`running`), or asleep, at this supply pin if that was said; None for a part that
    takes nothing by itself."""
    if isinstance(part, Resistor):
        if not part.ohms:
            return None
        amps = nominal / part.ohms
        return Takes("resistance", nominal, amps * 0.95, amps, amps * 1.05, True, "its ohms")
    if isinstance(part, Relay):
        return _spread("resistance", nominal, part.takes, at_voltage(RELAY_COIL, nominal).amps, "a relay's coil")
    if not isinstance(part, Load):
        return None
    manner = _manner_of(part)
    if part.kind == "module" and not running:
        return _spread(manner, nominal, part.asleep, Band(0.0005, 0.007), "a module asleep")
    typed = (part.running or part.awake) if running else (part.asleep or part.awake or part.running)
    at_pin = (part.running_at or part.awake_at).get(pin) if running else part.asleep_at.get(pin)
    if at_pin is not None:
        return _spread(manner, nominal, at_pin, at_pin, "typed in")._replace(by_pin=True)
    if part.kind == "lamp" and typed is None and pin in HEADLAMP_PINS:
        return _spread(manner, nominal, None, at_voltage(HEADLAMP, nominal).amps, f"{part.kind}: by its terminal")
    by_kind = CONSTANT_BY_KIND.get(part.kind) or RUNNING_BY_KIND.get(part.kind, RUNNING_BY_KIND["load"])
    return _spread(manner, nominal, typed, at_voltage(by_kind, nominal).amps, f"{part.kind}: by its kind")


def _manner_of(part: Load) -> Manner:
    match part.law:
        case "regulated":
            return "power"
        case "led":
            return "led"
        case "":
            return "filament" if part.kind == "lamp" else "steady" if part.kind == "module" else "resistance"
        case _ as unknown:
            assert_never(unknown)


def _spread(manner: Manner, nominal: float, typed: Band | None, by_kind: Band, what: str) -> Takes:
    if typed is not None and typed.high > 0:
        low, high = typed.low * (1 - _TYPED), typed.high * (1 + _TYPED)
        return Takes(manner, nominal, max(low, 1e-6), max(typed.middle, 1e-6), high, True, "typed in")
    middle = (max(by_kind.low, 1e-6) * by_kind.high) ** 0.5
    return Takes(manner, nominal, max(by_kind.low, 1e-6), middle, by_kind.high, False, what)
