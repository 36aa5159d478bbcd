"""Tests of one part apart from the vehicle's other troubles: its inputs, what it feeds, its feed and ground."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from circuitmap.evidence.job_card import JobCard, Pair
from circuitmap.evidence.written_names import removable
from circuitmap.failures import WrongUse
from circuitmap.problems import Problem, Severity
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.wiring.platform import Platform

What = Literal["inputs", "outputs", "feed", "ground"]
WHAT: tuple[What, ...] = ("inputs", "outputs", "feed", "ground")
"""`inputs`: what the part believes of latches, switches and key, checked separately; `outputs`: what it feeds, checked
separately; `feed` and `ground`: volts lost on the way with the load on."""

# Volts lost under load that are still acceptable: ground below 0.1 V, a cable below 0.2 V (seen: texts on voltage drop,
# one quoting SAE). Without current any resistance reads 0 V, so the load must be on.
MOST_LOST = {"ground": 0.1, "feed": 0.2}

HOW = "For example: tested HEATER inputs fine outputs fine feed 0.08V ground 0.03V"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTest:
    """One test and whether it was passed; `volts` lost for feed and ground when they were measured."""

    part: str
    what: str
    passed: bool
    volts: float | None = None


def check_test(what: str, result: str) -> tuple[bool, float | None]:
    """Whether a test was passed, and the volts lost if they were given; raises WrongUse for what makes no sense."""
    if what not in WHAT:
        raise WrongUse(f"{what} is not something to test here: {', '.join(WHAT)}.", HOW)
    if result in ("fine", "bad"):
        return result == "fine", None
    if what not in MOST_LOST:
        raise WrongUse(f"{what} {result}: fine or bad?", HOW)
    try:
        volts = read_quantity(result, "voltage")
    except QuantityError as error:
        raise WrongUse(f"{what}: fine, bad, or the volts lost with the load on: {error}", HOW) from None
    return volts <= MOST_LOST[what], volts


def tests_on(
    platform: Platform, card: JobCard, added: Collection[str] = ()
) -> tuple[tuple[PartTest, ...], tuple[Problem, ...]]:
    """All tests of parts on the card, with the latest of each kind last; `added` are names of what is on no sheet."""
    tests: list[PartTest] = []
    problems: list[Problem] = []
    for entry in card.entries:
        for pair in entry.tested if entry.struck is None else ():
            try:
                tests.append(_test(platform, pair, added))
            except WrongUse as wrong:
                problems.append(
                    Problem("card-value", Severity.ERROR, wrong.message, pair.name.span, advice=wrong.advice)
                )
    return tuple(tests), tuple(problems)


def _test(platform: Platform, pair: Pair, added: Collection[str]) -> PartTest:
    name, _, what = pair.name.value.strip().rpartition(" ")
    passed, volts = check_test(what, pair.value.value.strip())
    return PartTest(part=removable(platform, name, added), what=what, passed=passed, volts=volts)
