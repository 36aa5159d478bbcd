"""A place that shows nothing where an explanation brings far more than can hide there: under it that nothing is a slip,
and the current still flows in what feeds the place, so no second fault is needed to make up the sum."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.seen.taking_off import slipped
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_keeping_faith import asked, chance_of


def members(number: int) -> Circuit:
    """Modules of one network, each on a fuse of its own and 0.3 A awake, and an alternator on the battery."""
    rows = []
    for n in range(1, number + 1):
        rows += [
            f"module M{n} supply 30 ground 31 asleep 1mA awake 300mA",
            f"fuse F{n} 10A mini",
            f"F{n} -> M{n}.30",
            f"M{n}.31 -> G",
        ]
    names = ", ".join(f"M{n}" for n in range(1, number + 1))
    fuses = ", ".join(f"F{n}" for n in range(1, number + 1))
    return circuit_from(
        "\n".join(
            [
                "battery B", "ground G", "alternator ALT supply B+ ground 31", *rows, f"network N can members {names}",
                f"bar BAR feeds {fuses}", "B.+ -> BAR", "B.+ -> ALT.B+", "ALT.31 -> G", "B.- -> G",
            ]
        )
    )  # fmt: skip


@pytest.mark.parametrize("number", [3, 4, 6])
@pytest.mark.parametrize("misread", [1, 2])
def test_the_sum_needs_no_second_fault(number: int, misread: int) -> None:
    its = members(number)
    fuses = [f"F{n}={0.0 if n == misread else 0.3:.3f}A" for n in range(1, number + 1)]
    found = asked(its, f"B={0.3 * number + 0.01:.3f}A", *fuses, meter="series")
    assert found.subjects[0].about == "N" and found.subjects[0].probability > 0.9
    assert chance_of(found, "ALT") < 0.1
    without = asked(its, f"B={0.3 * (number - 1) + 0.01:.3f}A", *fuses, meter="series")
    assert chance_of(without, "N") <= chance_of(found, "N")


def test_how_likely_a_zero_is_a_slip_grows_with_what_should_flow() -> None:
    chances = [slipped(mean, (0.3 * mean) ** 2, 0.03) for mean in (0.01, 0.03, 0.06, 0.12, 0.5)]
    assert chances == sorted(chances)
    assert chances[0] < 0.02 and chances[-1] > 0.95
    assert slipped(0.0, 0.0, 0.03) == 0.0
    assert slipped(0.2, 0.0, 0.0) == 1.0
