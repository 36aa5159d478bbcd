"""A fuse that was seen to carry a current: with it out, at least that much is gone."""

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.outcomes import OUTCOMES, least_fall


def let_fall(
    chances: NDArray[np.float64], amps: float, was: float, normal_up_to: float, step: float, slip: float
) -> None:
    """Change `chances` (outcomes in the last axis): with a fuse out that carried `amps`, what `was` read, all in A,
    falls by at least that. `step` is the meter's; `slip` the share of tests that show something else."""
    if amps < least_fall(was, step):
        return
    normal, down, stays = (OUTCOMES.index(name) for name in ("normal", "down", "stays"))
    falls = normal if was - amps <= normal_up_to else down
    for other in (stays, down) if falls == normal else (stays,):
        chances[:, falls] += chances[:, other] - slip / 3.0
        chances[:, other] = slip / 3.0
