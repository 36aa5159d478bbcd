"""A test that is planned: what it may show, written down before it is done."""

from typing import NamedTuple

from circuitmap.diagnosis.faults import Fault
from circuitmap.diagnosis.handling import Action

LEAST_TOLD = 0.05
"""An outcome less likely than this is not told: a slip, more likely than not."""
WORTH_NAMING = 0.35
"""A part less likely than this after an outcome is not named: it would not be the one to go to (judgement)."""
SURER = 0.15
"""Rise of one part's probability from one outcome to another that makes it clearly surer (judgement)."""


class Branch(NamedTuple):
    """One outcome: its probability, and the part it would point to with that part's probability then; so too what it
    would all be about."""

    outcome: str
    probability: float
    part: str
    then: float
    about: str = ""
    about_then: float = 0.0


class PlannedTest(NamedTuple):
    """`bits` about the part to mend; `branches` are what is expected, written down before it is done. `found` are the
    A that were read behind the place that it reads; `ends` the A, beyond those, below which it counts as nothing and
    from which on as most. `look_for` are the faults that a look is likeliest to show."""

    action: Action
    bits: float
    branches: tuple[Branch, ...]
    found: float = 0.0
    ends: tuple[float, float] = (0.0, 0.0)
    look_for: tuple[Fault, ...] = ()

    @property
    def worth(self) -> float:
        """Bits a minute."""
        return self.bits / self.action.minutes


def tells_parts_apart(test: PlannedTest) -> bool:
    """Whether its outcomes would send somebody to different parts, or make one clearly surer."""
    named = [branch for branch in test.branches if branch.probability >= LEAST_TOLD and branch.outcome != "found"]
    if any(branch.then < WORTH_NAMING for branch in named):
        return True
    shares = [branch.then for branch in named]
    return len({branch.part for branch in named}) > 1 or max(shares, default=1.0) - min(shares, default=0.0) >= SURER
