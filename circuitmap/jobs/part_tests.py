"""Tests of one part apart from the vehicle's other troubles: the part itself, its inputs, what it feeds, its feed and
ground."""

from collections.abc import Collection
from dataclasses import dataclass

from circuitmap.evidence.checks_at_parts import check_test
from circuitmap.evidence.job_card import JobCard, Pair
from circuitmap.evidence.tested_itself import passed_itself
from circuitmap.evidence.written_names import removable
from circuitmap.failures import WrongUse
from circuitmap.problems import Problem, Severity
from circuitmap.wiring.platform import Platform


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTest:
    """One test and whether it was passed; `volts` lost for feed and ground when they were measured. `what` is one of
    `inputs`, `outputs`, `feed`, `ground`, or `itself`: the part was tested, not what it hangs on."""

    part: str
    what: str
    passed: bool
    volts: float | None = None


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
    if not name:
        part = removable(platform, what, added)
        return PartTest(part=part, what="itself", passed=passed_itself(platform, part, pair.value.value))
    passed, volts = check_test(what, pair.value.value.strip())
    return PartTest(part=removable(platform, name, added), what=what, passed=passed, volts=volts)
