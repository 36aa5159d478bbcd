"""A clamp that parts what is left comes before a wire is followed that tells hardly more by the minute."""

import pytest

from circuitmap.diagnosis.next_test.doing import Doing
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest, quick_before_following

PARTS = (("quiet", 0.5, "ALT", 0.2), ("most", 0.5, "ALT", 0.99))
IDLE = (("quiet", 0.5, "ALT", 0.5), ("most", 0.5, "ALT", 0.52))


def planned(
    doing: Doing, minutes: float, bits: float, told: tuple[tuple[str, float, str, float], ...] = PARTS
) -> PlannedTest:
    branches = tuple(OutcomeBranch(outcome, its, part, then) for outcome, its, part, then in told)
    return PlannedTest(Action(doing, (doing,), minutes, minutes, 0.0), bits, branches)


FOLLOW = planned("follow", 20.0, 1.27)


@pytest.mark.parametrize(
    ("other", "first"),
    [
        (planned("clamp", 12.0, 0.73), True),
        (planned("read-fuse", 12.0, 0.73), True),
        (planned("clamp", 12.0, 0.70), True),  # 0.92 of the worth
        (planned("clamp", 12.0, 0.50), False),  # tells too little, by the minute as well
        (planned("clamp", 12.0, 0.73, IDLE), False),  # the same is sought, whatever it shows
        (planned("clamp", 21.0, 1.30), False),  # takes longer
        (planned("unplug", 12.0, 0.73), False),  # touches something
    ],
)
def test_a_clamp_that_parts_what_is_left_comes_first(other: PlannedTest, first: bool) -> None:
    assert (quick_before_following([FOLLOW, other])[0] is other) == first


def test_only_a_wire_that_would_be_followed_first_waits() -> None:
    look, clamp = planned("look", 10.0, 1.4), planned("clamp", 12.0, 0.73)
    assert quick_before_following([look, clamp]) == [look, clamp]
