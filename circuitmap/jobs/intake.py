"""What was written down when the vehicle came in, as numbers where possible: the battery, and the time to flat."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from circuitmap.battery.charge import CHEMISTRIES, Chemistry, state_of_charge
from circuitmap.battery.checked import of_one
from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.written_names import batteries_of
from circuitmap.jobs.renewed_before import batteries_renewed_before
from circuitmap.problems import Problem, Severity
from circuitmap.quantities import Band, QuantityError, read_quantity
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform

WORN_YEARS = 5.0
"""A battery older than this counts as worn (common practice, no source)."""

SPREAD = 0.25
"""How far a time that a customer gives ("two days") may be off, in proportion (judgement)."""

_OF_A_BATTERY = ("battery", "battery-type", "battery-age", "battery-volts")

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """`flat_after`: hours from parking to flat, as a band around what was said. `volts` at rest, of one battery.

    `of` is the battery that was named with it, empty where none was. `rating_from_sheet`: the capacity is the one in
    the notation, not read off this car's battery; `on_sheets` are those of all batteries there. `new` are batteries
    that were renewed before the vehicle came in.
    """

    battery: ParkedBattery
    flat_after: Band | None = None
    volts: float | None = None
    of: str = ""
    rating_from_sheet: bool = False
    on_sheets: Mapping[str, Band] = field(default_factory=dict)
    new: frozenset[str] = frozenset()
    problems: tuple[Problem, ...] = ()

    def at(self, battery: str) -> "Intake":
        """The same for one battery: what was taken in of another one says nothing of it, and where no capacity was
        written down it is that of its own sheet."""
        others = bool(self.of and battery and battery != self.of)
        known = self.battery.rated is not None or self.battery.reserve is not None
        if not others and known and not self.rating_from_sheet:
            return self
        rated = self.on_sheets.get(battery, None if others else self.battery.rated)
        its = ParkedBattery(rated=rated, celsius=self.battery.celsius) if others else replace(self.battery, rated=rated)
        return replace(self, battery=its, volts=None if others else self.volts, rating_from_sheet=rated is not None)

    def renewed(self) -> "Intake":
        """The same with a new battery of the same size: nothing that was found at the old one holds."""
        return replace(self, volts=None, battery=replace(self.battery, charge=None, worn=False))

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

    names: list[str] = []

    def of_one_battery(reader: Callable[[str], Value]) -> Callable[[str], Value]:
        """Whatever is said of a battery may begin with its name: `B2, 140Ah`."""

        def read_it(text: str) -> Value:
            first, _, rest = text.partition(",") if "," in text else text.partition(" ")
            if rest.strip() and first.strip() in batteries:
                names.append(first.strip())
                text = rest.strip()
            return reader(text)

        return read_it

    batteries = batteries_of(platform)
    named = f"{batteries[0]}, " if len(batteries) > 1 else ""
    capacity = read("battery", of_one_battery(_capacity), f"72Ah, or RC 120min{f'; or {named}72Ah' if named else ''}")
    chemistry: Chemistry = read("battery-type", of_one_battery(_chemistry), ", ".join(CHEMISTRIES)) or "flooded"
    years = read("battery-age", of_one_battery(_years), "7 years, 18 months, or 3 weeks")
    volts = read("battery-volts", of_one_battery(lambda text: read_quantity(text, "voltage")), "12.45V")
    celsius = read("temperature", _celsius, "-5C")
    hours = read("flat-after", _hours, "2 days, 36h, or 2..3 days")
    if len(set(names)) > 1:
        told = f"battery: {' and '.join(dict.fromkeys(names))} are two; the intake speaks of one."
        its = next(text for key in _OF_A_BATTERY if (text := card.intake.get(key)) and text.value.startswith(names[1]))
        problems.append(Problem("card-value", Severity.ERROR, told, its.span, advice="Note the other one in an entry."))
    rated, reserve = capacity or (None, None)
    from_sheet = rated is None and reserve is None
    if from_sheet:
        rated = _ratings(platform).get(names[0]) if names else _rating_on_the_sheet(platform)
    charge = state_of_charge(volts, chemistry) if volts is not None else None
    done = card.intake.get("done-before")
    battery = ParkedBattery(
        rated=rated, reserve=reserve, chemistry=chemistry, celsius=celsius, charge=charge,
        worn=years is not None and years > WORN_YEARS,
    )  # fmt: skip
    return Intake(
        battery=battery, flat_after=hours, volts=volts, of=names[0] if names else "",
        rating_from_sheet=from_sheet and rated is not None, on_sheets=_ratings(platform),
        new=batteries_renewed_before(platform, done.value if done is not None else ""), problems=tuple(problems),
    )  # fmt: skip


def _ratings(platform: Platform) -> dict[str, Band]:
    """The capacities that the notation gives."""
    found = (part for part in platform.parts.values() if isinstance(part, Battery))
    return {part.name: Band(part.capacity, part.capacity) for part in found if part.capacity is not None}


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


def chemistry_on(card: JobCard) -> Chemistry:
    """The kind of battery by the card; flooded where it does not say, or says what nobody knows."""
    said = card.intake.get("battery-type")
    its = said.value.split()[-1].lower() if said is not None and said.value.split() else ""
    return next((known for known in CHEMISTRIES if known == its), "flooded")


def _years(text: str) -> float:
    value, unit = _number_and_word(text)
    factor = {"year": 1.0, "month": 1 / 12, "week": 7 / 365, "day": 1 / 365}.get(unit.rstrip("s"))
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
