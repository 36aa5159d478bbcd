"""How much a part takes, asleep, awake or running: as transcribed, or else by its kind.

A transcribed range is taken to hold eight times out of ten; spreads are inflated by 1.6, because people are too sure of
such numbers. By kind: asleep 0.4..7 mA, awake 50..300 mA (workshop texts, seen, mostly older cars, and orders of
magnitude from memory). Other figures are judgement.
"""

from math import hypot, log, sqrt
from typing import NamedTuple

from circuitmap.diagnosis.weighing.log_normal import Spread
from circuitmap.power.typical import MODULE_ASLEEP, MODULE_AWAKE, RELAY_COIL, Typical
from circuitmap.power.typical import RUNNING_BY_KIND as typical_by_kind
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Load, Part, Relay, Resistor

INFLATED = 1.6
SINGLE_VALUE_SIGMA = 0.25
LEAST_SIGMA = 0.25
SEVERAL_PINS_SIGMA = 0.7
NINETEEN_IN_TWENTY = 1.959963984540054
EIGHT_IN_TEN = 1.2815515655446004


def _usual(typical: Typical) -> Spread:
    return Spread(typical.usual, typical.sigma)


ASLEEP_BY_KIND = _usual(MODULE_ASLEEP)
AWAKE_BY_KIND = _usual(MODULE_AWAKE)
RUNNING_BY_KIND = {kind: _usual(typical) for kind, typical in typical_by_kind.items()}
COIL = _usual(RELAY_COIL)
ADDED = Spread(0.25, 1.3)
STANDING_BY_AT_LEAST, STANDING_BY_AT_MOST = 0.002, 0.030
STANDING_BY = Spread(
    sqrt(STANDING_BY_AT_LEAST * STANDING_BY_AT_MOST),
    log(STANDING_BY_AT_MOST / STANDING_BY_AT_LEAST) / (2.0 * NINETEEN_IN_TWENTY),
)
"""Something added to the car that stands by, a remote's receiver, a tracker, a cooler that is off: 2 to 30 mA nineteen
times out of twenty (common practice, no source)."""
BY_ITSELF = Spread(0.2, 1.3)
CHAFED = Spread(0.3, 1.5)
UNFUSED = Spread(0.1, 1.3)
"""Judgement, set together with the weight of a battery post so that the motorcycle's rectifier leads: that sample is
no check of it. On simulated vehicles it changes next to nothing."""
BETWEEN_BATTERIES = Spread(0.8, 1.5)
"""What flows from one battery into the other and its loads once they are joined."""
ANYTHING = Spread(0.1, log(10.0 / 0.001) / sqrt(12.0))
"""As wide as log-uniform from 1 mA to 10 A."""


class Draw(NamedTuple):
    """A current, and how it is known: transcribed, or assumed by kind."""

    spread: Spread
    assumed: bool


def spread_of(band: Band) -> Spread | None:
    """The spread of a transcribed value or range; None if it is zero."""
    if band.high <= 0.0:
        return None
    low = max(band.low, band.high / 50.0)
    sigma = log(band.high / low) / (2.0 * EIGHT_IN_TEN) if band.high > low else SINGLE_VALUE_SIGMA
    return Spread(sqrt(low * band.high), max(sigma * INFLATED, LEAST_SIGMA))


def drawn_asleep(part: Part, sleeps: bool) -> Draw | None:
    """What a part that is fed takes when nothing is wrong; None if it takes nothing. `sleeps`: it can be awake or
    asleep. A sensor has no switch and does not sleep: fed, it takes what is typed in."""
    asleep = part.asleep if isinstance(part, Load) else None
    if asleep is None and isinstance(part, Load) and part.kind == "sensor" and not sleeps:
        asleep = part.running
    if asleep is not None:
        spread = spread_of(asleep)
        return Draw(spread, False) if spread is not None else None
    return Draw(ASLEEP_BY_KIND, True) if sleeps else None


def coil_spread(relay: Part) -> Spread:
    """What a relay's coil takes: as typed, or what coils usually do."""
    typed = spread_of(relay.takes) if isinstance(relay, Relay) and relay.takes is not None else None
    return typed or COIL


def is_coil_typed(relay: Part) -> bool:
    """Whether what a relay's coil takes is typed in, and not assumed."""
    return isinstance(relay, Relay) and relay.takes is not None and spread_of(relay.takes) is not None


def drawn_by_resistance(part: Resistor, volts: float) -> Draw | None:
    """What a resistor between supply and ground takes at all times (Ohm's law); None where its ohms were not typed."""
    return Draw(Spread(volts / part.ohms, LEAST_SIGMA), False) if part.ohms else None


def drawn_awake(part: Part) -> Draw | None:
    """What a part takes that is awake but not working yet: a heater that is awake does not heat."""
    band = part.awake if isinstance(part, Load) else None
    if band is None:
        return Draw(AWAKE_BY_KIND, True)
    spread = spread_of(band)
    return Draw(spread, False) if spread is not None else None


def drawn_running(part: Part) -> Draw | None:
    band = (part.running or part.awake) if isinstance(part, Load) else None
    if band is None:
        return Draw(RUNNING_BY_KIND.get(part.kind, RUNNING_BY_KIND["load"]), True)
    spread = spread_of(band)
    return Draw(spread, False) if spread is not None else None


def drawn_by_pin(part: Part, taken: str) -> dict[str, Spread]:
    """What was transcribed of single supply pins, asleep, awake or running; a pin that takes nothing is left out."""
    if not isinstance(part, Load):
        return {}
    bands = {"asleep": part.asleep_at, "awake": part.awake_at, "running": part.running_at}.get(taken, {})
    return {pin: spread for pin, band in bands.items() if (spread := spread_of(band)) is not None}


def drawn_by_itself(part: Part) -> Draw:
    """What a part takes when it is at fault: anything up to what it takes when it works."""
    band = part.awake if isinstance(part, Load) else None
    if band is None and isinstance(part, Load) and part.kind != "module":
        band = part.running
    own = spread_of(band) if band is not None else None
    if own is None:
        return Draw(AWAKE_BY_KIND if part.kind == "module" else BY_ITSELF, True)
    return Draw(Spread(own.median, hypot(own.sigma, 0.8)), False)


MUCH_AWAKE = 1.0
"""In A: a module that takes this much awake, such as a converter, has parts of its own that may stay on alone; what a
smaller one takes at fault is near enough to its figure (judgement)."""


def drawn_half_awake(part: Part) -> Draw | None:
    """What a module takes that hangs between asleep and awake: anything between the two, each order of magnitude as
    likely. None where a range of what it takes awake was typed in, which says so, or where it takes little."""
    band = part.awake if isinstance(part, Load) and part.kind == "module" else None
    if band is None or band.low < band.high or band.high < MUCH_AWAKE:
        return None
    asleep = drawn_asleep(part, sleeps=True)
    low = asleep.spread.median if asleep is not None else ASLEEP_BY_KIND.median
    return Draw(Spread(sqrt(low * band.high), log(band.high / low) / sqrt(12.0)), True) if low < band.high else None


def on_each_pin(whole: Spread, pins: int) -> Spread:
    """The share of one of several supply pins; nobody knows how the current divides."""
    return whole if pins <= 1 else Spread(whole.median / pins, whole.sigma + SEVERAL_PINS_SIGMA)
