"""A test that is planned: what it may show, written down before it is done."""

from typing import NamedTuple

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.handling import Action

LEAST_TOLD = 0.05
"""An outcome less likely than this is not told: a slip, more likely than not."""
WORTH_NAMING = 0.35
"""A part less likely than this after an outcome is not named: it would not be the one to go to (judgement)."""
SURER = 0.15
"""Rise of one part's probability from one outcome to another that makes it clearly surer (judgement)."""
NEAR_CHANCE = 0.1
"""Probabilities closer than this are alike in what is done next (judgement)."""
DECIDES_CHANCE = 0.85
"""Probability of a part after an outcome from which on the test decides something (judgement)."""
HELPS = 0.6
"""Beside a test that decides, one that makes no part surer than this is not worth its minutes (judgement)."""
ALL_BUT_SURE = 0.85
"""Probability of one outcome from which on a test that leaves all open is not worth its minutes (judgement)."""


class OutcomeBranch(NamedTuple):
    """One outcome: its probability, and the part it would point to with that part's probability then; so too what it
    would all be about, and the part next to the first (of two faults both)."""

    outcome: str
    probability: float
    part: str
    then: float
    about: str = ""
    about_then: float = 0.0
    beside: str = ""
    beside_then: float = 0.0


class PlannedTest(NamedTuple):
    """`bits` about the part to mend; `branches` are what is expected, written down before it is done. `found` are the
    A that were read behind the place that it reads; `ends` the A, beyond those, below which it counts as nothing and
    from which on as most. `look_for` are the faults that a look is likeliest to show;
    `wire` is the control wire at fault that some outcome points to."""

    action: Action
    bits: float
    branches: tuple[OutcomeBranch, ...]
    found: float = 0.0
    ends: tuple[float, float] = (0.0, 0.0)
    look_for: tuple[Fault, ...] = ()
    wire: Fault | None = None

    @property
    def worth(self) -> float:
        """Bits a minute."""
        return self.bits / self.action.minutes


def points_to(branch: OutcomeBranch) -> tuple[str, float]:
    """The part that an outcome points to, else what it would all be about, with its probability then; nothing where
    neither is likely enough to be named."""
    if branch.then >= WORTH_NAMING:
        return branch.part, branch.then
    return (branch.about, branch.about_then) if branch.about_then >= WORTH_NAMING else ("", 0.0)


def tells_parts_apart(test: PlannedTest) -> bool:
    """Whether its outcomes would send somebody to different parts, or make one clearly surer."""
    told = [branch for branch in test.branches if branch.probability >= LEAST_TOLD]
    if len(told) < 2:
        return False
    if any(branch.outcome == "found" for branch in told):
        return True
    names, shares = zip(*map(points_to, told), strict=True)
    firsts = {branch.part for branch in told} if any(names) else set()
    if not any(names):
        return max(branch.probability for branch in told) < ALL_BUT_SURE
    return len(set(names)) > 1 or max(shares) - min(shares) >= SURER or len(firsts) > 1


def point_the_same_way(one: PlannedTest, other: PlannedTest) -> bool:
    """Whether two tests send somebody to the same parts, with the same chances: after one the other tells no more."""
    ways = [
        sorted((*points_to(b), b.probability) for b in test.branches if b.probability >= LEAST_TOLD and points_to(b)[0])
        for test in (one, other)
    ]
    if not len(ways[0]) == len(ways[1]) > 1:
        return False
    return all(
        mine[0] == its[0] and abs(mine[1] - its[1]) < NEAR_CHANCE and abs(mine[2] - its[2]) < NEAR_CHANCE
        for mine, its in zip(*ways, strict=True)
    )


def best_left(test: PlannedTest) -> float:
    """How sure its surest outcome that is told would make one part."""
    return max((b.then for b in test.branches if b.probability >= LEAST_TOLD), default=0.0)
