"""What was written down when the vehicle came in, as numbers where possible: the battery, and the time to flat."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

from circuitmap.battery.charge import CHEMISTRIES, Chemistry, state_of_charge
from circuitmap.battery.checked import of_one
from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.job_card import JobCard
from circuitmap.problems import Problem, Severity
from circuitmap.quantities import Band, QuantityError, read_quantity
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform

WORN_YEARS = 5.0
"""A battery older than this counts as worn (common practice, no source)."""

SPREAD = 0.25
"""How far a time that a customer gives ("two days") may be off, in proportion (judgement)."""

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """`flat_after`: hours from parking to flat, as a band around what was said. `volts` at rest, of one battery.

    `rating_from_sheet`: the capacity is the one in the notation, not read off this car's battery.
    """

    battery: ParkedBattery
    flat_after: Band | None = None
    volts: float | None = None
    rating_from_sheet: bool = False
    problems: tuple[Problem, ...] = ()

    def with_rest(self, checks: Iterable[BatterySeen]) -> "Intake":
        """The same with the volts at rest that were read later than those of the intake, where they are of one battery
        alone."""
        rest = [check for check in checks if check.check == "rest"]
        if not rest or len({check.battery for check in rest}) > 1:
            return self
        volts = of_one(rest[-1].volts or 0.0)
        charge = state_of_charge(volts, self.battery.chemistry)
        return replace(self, volts=volts, battery=replace(self.battery, charge=charge))


def intake_of(platform: Platform, card: JobCard) -> Intake:
    """Read the intake; what makes no sense is left out and becomes a problem with its place."""
    problems: list[Problem] = []

    def read(key: str, reader: Callable[[str], Value], how: str) -> Value | None:
        text = card.intake.get(key)
        if text is None or not text.value.strip():
            return None
        try:
            return reader(text.value.strip())
        except (QuantityError, ValueError):
            headline = f"{key}: {text.value!r} is not understood."
            problems.append(Problem("card-value", Severity.ERROR, headline, text.span, expected=how))
            return None

    capacity = read("battery", _capacity, "72Ah, or RC 120min")
    chemistry: Chemistry = read("battery-type", _chemistry, ", ".join(CHEMISTRIES)) or "flooded"
    years = read("battery-age", _years, "7 years, or 18 months")
    volts = read("battery-volts", lambda text: read_quantity(text, "voltage"), "12.45V")
    celsius = read("temperature", _celsius, "-5C")
    hours = read("flat-after", _hours, "2 days, 36h, or 2..3 days")
    rated, reserve = capacity or (None, None)
    from_sheet = rated is None and reserve is None
    if from_sheet:
        rated = _rating_on_the_sheet(platform)
    charge = state_of_charge(volts, chemistry) if volts is not None else None
    battery = ParkedBattery(
        rated=rated, reserve=reserve, chemistry=chemistry, celsius=celsius, charge=charge,
        worn=years is not None and years > WORN_YEARS,
    )  # fmt: skip
    return Intake(
        battery=battery, flat_after=hours, volts=volts, rating_from_sheet=from_sheet and rated is not None,
        problems=tuple(problems),
    )  # fmt: skip


def _rating_on_the_sheet(platform: Platform) -> Band | None:
    """The capacity of the starting battery, where the notation gives one for the only battery that is not optional."""
    found = [p for p in platform.parts.values() if isinstance(p, Battery) and not p.condition]
    if len(found) == 1 and found[0].capacity is not None:
        return Band(found[0].capacity, found[0].capacity)
    return None


def _capacity(text: str) -> tuple[Band | None, float | None]:
    reserve = re.match(r"(?:RC|reserve)\s+(.+)\Z", text, re.IGNORECASE)
    if reserve is not None:
        return None, read_quantity(reserve[1].replace(" ", ""), "time")
    value = read_quantity(text.replace(" ", ""), "charge")
    return Band(value, value), None


def _chemistry(text: str) -> Chemistry:
    for known in CHEMISTRIES:
        if text.lower() == known:
            return known
    raise ValueError


def _years(text: str) -> float:
    value, unit = _number_and_word(text)
    factor = {"year": 1.0, "month": 1 / 12}.get(unit.rstrip("s"))
    if factor is None:
        raise ValueError
    return value * factor


def _celsius(text: str) -> float:
    match = re.match(r"([-+]?\d{1,2}(?:\.\d)?)\s*C\Z", text, re.ASCII)
    if match is None:
        raise ValueError
    return float(match[1])


def _hours(text: str) -> Band:
    low, dots, rest = text.partition("..")
    value, unit = _number_and_word(rest if dots else text)
    factor = {"h": 1.0, "hour": 1.0, "day": 24.0, "week": 168.0, "night": 12.0}.get(unit.rstrip("s"))
    if factor is None:
        raise ValueError
    if dots:
        first = float(low)
        if not 0.0 < first <= value:
            raise ValueError
        return Band(first * factor, value * factor)
    return Band(value * factor * (1.0 - SPREAD), value * factor * (1.0 + SPREAD))


_COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def _number_and_word(text: str) -> tuple[float, str]:
    match = re.match(r"(\d{1,4}(?:\.\d{1,3})?|[a-z]+)\s*([A-Za-z]+)\Z", text, re.ASCII)
    if match is None:
        raise ValueError
    number = match[1]
    if number in _COUNTS:
        return float(_COUNTS.index(number) + 1), match[2]
    if number in ("a", "an"):
        return 1.0, match[2]
    value = float(number)
    if value <= 0.0:
        raise ValueError
    return value, match[2]
