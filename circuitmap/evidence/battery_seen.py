"""What was found at the battery itself: volts at rest, volts while it is charged, the result of a battery test."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

from circuitmap.evidence.over_night import Stood
from circuitmap.evidence.written_names import batteries_of
from circuitmap.failures import WrongUse
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.source import Span
from circuitmap.wiring.names import find_part
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:  # reading YAML takes time to load, and only a card needs it
    from circuitmap.evidence.card_text import Text

Check = Literal["rest", "charging", "test"]
CHECKS: tuple[Check, ...] = get_args(Check)
PASSED = {"fine": True, "good": True, "passed": True, "pass": True, "ok": True,
          "bad": False, "failed": False, "fail": False, "weak": False}  # fmt: skip
"""A test's results as people write them."""

HOW = "For example: battery rest 12.45V, battery charging 14.2V, battery test bad"


@dataclass(frozen=True, slots=True, kw_only=True)
class BatterySeen:
    """One check of one battery: volts at `rest` or while `charging`, or whether the `test` was passed. `charged`: it
    had been on a charger for long enough before, by the card; `stood`: volts at rest that were read a night before, and
    nothing done since."""

    battery: str
    check: Check
    volts: float | None = None
    passed: bool | None = None
    written: str = ""
    span: Span | None = None
    charged: bool = False
    stood: Stood | None = None


def fails_charged(checks: Iterable[BatterySeen], battery: str = "") -> bool:
    """Whether a battery failed its last test, and had been charged before, or failed one before that: then there is
    nothing left to be tested. With no name, of any battery."""
    tests: dict[str, list[BatterySeen]] = {}
    for check in checks:
        if check.check == "test" and battery in ("", check.battery):
            tests.setdefault(check.battery, []).append(check)
    failed = (its for its in tests.values() if its[-1].passed is False)
    return any(its[-1].charged or any(one.passed is False for one in its[:-1]) for its in failed)


def written_check(platform: Platform, battery: str, check: str, value: str) -> BatterySeen:
    """`rest` and `12.45V`, `test` and `bad`, at a battery (empty: the only one); raises WrongUse."""
    name = the_battery(platform, battery)
    known = next((its for its in CHECKS if its == check), None)
    if known is None:
        raise WrongUse(f"{check} is not a check of a battery: {', '.join(CHECKS)}.", HOW)
    if known == "test":
        if value.casefold() not in PASSED:
            raise WrongUse(f"A battery test is fine or bad, not {value}.", HOW)
        return BatterySeen(battery=name, check=known, passed=PASSED[value.casefold()], written=f"{check} {value}")
    try:
        volts = read_quantity(value, "voltage")
    except QuantityError as error:
        raise WrongUse(f"{check}: {error}", HOW) from None
    return BatterySeen(battery=name, check=known, volts=volts, written=f"{check} {value}")


def the_battery(platform: Platform, name: str) -> str:
    """A battery by its name; with no name, the only one. Raises WrongUse."""
    batteries = batteries_of(platform)
    if not name:
        if len(batteries) != 1:
            example = batteries[0] if batteries else "BAT"
            raise WrongUse("Which battery? This platform has not just one.", f"Write battery {example} rest 12.45V.")
        return batteries[0]
    part = find_part(platform, name)
    if part not in batteries:
        raise WrongUse(f"{part} is not a battery: {', '.join(batteries) or 'none is typed in'}.", HOW)
    return part


def checks_of(
    platform: Platform, pairs: Iterable[tuple["Text", "Text"]]
) -> Iterable[tuple["Text", BatterySeen | WrongUse]]:
    """What an entry says of one battery, each check with its text; for what makes no sense, why."""
    said = list(pairs)
    battery = next((value.value for name, value in said if name.value == "place"), "")
    for name, value in said:
        if name.value == "place":
            continue
        try:
            yield value, written_check(platform, battery, name.value, value.value.strip())
        except WrongUse as failure:
            yield value, failure
