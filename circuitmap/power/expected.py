"""What this vehicle should draw when it is parked, locked and asleep, and how much of that is assumed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import LoadPower, Powered
from circuitmap.power.series_currents import currents_in_series
from circuitmap.power.survey import survey_of
from circuitmap.power.typical import (
    CONSTANT_BY_KIND,
    MODULE_ASLEEP,
    MODULE_AWAKE,
    RELAY_COIL,
    RUNNING_BY_KIND,
    Typical,
    at_voltage,
)
from circuitmap.power.waiting import asleep_level
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Answer, Fitting
from circuitmap.wiring.parts import Load, Relay, Resistor


@dataclass(frozen=True, slots=True)
class ExpectedDraw:
    """What one part takes, in amperes. `typical` is None for a value that was transcribed; `surely` is false for a
    part that may be fed or may be fitted: its low end is then 0."""

    part: str
    amps: Band
    typical: Typical | None
    awake: bool
    surely: bool

    @property
    def assumed(self) -> bool:
        return self.typical is not None


@dataclass(frozen=True)
class Expected:
    """The parked vehicle's draw, part by part, the largest first. `limit` is the draw that the platform is held to, in
    amperes; None if it names none."""

    draws: tuple[ExpectedDraw, ...]
    limit: float | None

    @cached_property
    def total(self) -> Band:
        """All parts that surely draw."""
        return _sum(its for its in self.draws if its.surely)

    @cached_property
    def transcribed(self) -> Band:
        """The part of the total that rests on values from the sheets; the rest is assumed by kind."""
        return _sum(its for its in self.draws if its.surely and not its.assumed)

    @cached_property
    def perhaps(self) -> tuple[ExpectedDraw, ...]:
        """Parts that may draw as well: it is not known whether they are fitted, fed or grounded."""
        return tuple(its for its in self.draws if not its.surely)

    @property
    def assumed_parts(self) -> tuple[str, ...]:
        return tuple(its.part for its in self.draws if its.surely and its.assumed)


def _sum(draws: Iterable[ExpectedDraw]) -> Band:
    bands = [its.amps for its in draws]
    return Band(sum(band.low for band in bands), sum(band.high for band in bands))


def expected_draw(circuit: Circuit, fitting: Fitting) -> Expected:
    """Every part that draws when parked and asleep; outputs on request are off, nothing is wrong."""
    parked = survey_of(circuit, fitting).parked
    volts = circuit.platform.supply_volts
    found: list[ExpectedDraw] = []
    in_series = _in_series(parked)
    for number, (name, power) in enumerate(parked.loads.items()):
        part = circuit.platform.parts[name]
        if name in in_series:
            found.append(ExpectedDraw(name, in_series[name], None, False, True))
        elif isinstance(part, Load) and (level := asleep_level(parked, number)):
            # What waits for its control pin takes what it takes asleep all the same.
            found.append(_draw(part, power, Answer(level), volts))
        elif power.draws != Answer.NO and isinstance(part, Resistor) and part.ohms:
            amps = volts / part.ohms
            surely = power.draws == Answer.YES
            found.append(ExpectedDraw(name, Band(amps if surely else 0.0, amps), None, False, surely))
    found += _coils(parked, volts)
    found = [its for its in found if its.amps.high > 0]
    found.sort(key=lambda its: (-its.amps.middle, its.part))
    return Expected(tuple(found), circuit.platform.limit)


def _in_series(parked: Powered) -> Mapping[str, Band]:
    """What loads take through one another, where it can be worked out; each current once, where it comes from a
    battery. The others of such a row take nothing of their own, nor does what only lies beside one that takes far
    more."""
    found: dict[str, float] = {}
    for its in currents_in_series(parked):
        if its.volts is not None and parked.loads.get(its.name) and parked.loads[its.name].draws != Answer.YES:
            amps = its.amps if its.at_plus is not None and its.amps is not None else 0.0
            found[its.name] = found.get(its.name, 0.0) + amps
    return {name: Band(amps, amps) for name, amps in found.items()}


def _draw(part: Load, power: LoadPower, draws: Answer, volts: float) -> ExpectedDraw:
    awake = power.awake
    is_awake = awake == Answer.YES
    if part.kind == "module":
        typed = _typed(power, part.awake, part.awake_at) if is_awake else _typed(power, part.asleep, part.asleep_at)
        typical = MODULE_AWAKE if is_awake else MODULE_ASLEEP
    else:
        typed = _typed(power, part.asleep, part.asleep_at) or _typed(power, part.running, part.running_at)
        typical = at_voltage(CONSTANT_BY_KIND.get(part.kind) or RUNNING_BY_KIND.get(part.kind, MODULE_ASLEEP), volts)
    amps = typed or typical.amps
    if awake == Answer.MAY_BE:
        amps = Band(amps.low, max(amps.high, (part.awake or MODULE_AWAKE.amps).high))
    if draws == Answer.MAY_BE:
        amps = Band(0.0, amps.high)
    return ExpectedDraw(part.name, amps, None if typed else typical, is_awake, draws == Answer.YES)


def _typed(power: LoadPower, whole: Band | None, by_pin: Mapping[str, Band]) -> Band | None:
    """What was typed for the whole part or, by pin, of the pins that are live: certainly of those that surely are."""
    if not by_pin:
        return whole
    live = [(by_pin[pin.terminal.pin], pin.live) for pin in power.pins if pin.live and pin.terminal.pin in by_pin]
    return Band(sum(its.low for its, sure in live if sure == Answer.YES), sum(its.high for its, _ in live))


def _coils(parked: Powered, volts: float) -> list[ExpectedDraw]:
    """Relays that are pulled in when parked: their coils draw current too."""
    usual = at_voltage(RELAY_COIL, volts)
    found = []
    for name, level in parked.energised.items():
        if level != Answer.NO:
            part = parked.circuit.platform.parts[name]
            typed = part.takes if isinstance(part, Relay) else None
            amps = typed or usual.amps
            surely = level == Answer.YES
            found.append(
                ExpectedDraw(
                    name, amps if surely else Band(0.0, amps.high), None if typed else usual, awake=False, surely=surely
                )
            )
    return found
