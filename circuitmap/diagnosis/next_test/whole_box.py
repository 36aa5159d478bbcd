"""All fuses of a box that nobody has read yet, read in one go: which of them would draw."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

MOST_APART = 5
"""So many fuses, the likeliest, are told apart; all others are one outcome."""
NONE_DRAWS, ANOTHER_DRAWS, SEVERAL_DRAW = "none draws", "another draws", "several draw"


def only(fuse: str) -> str:
    """The outcome in which just this one draws."""
    return f"only {fuse}"


def chances_in_a_box(fuses: Sequence[str], quiet: Array, weights: Array, slip: float) -> tuple[tuple[str, ...], Array]:
    """The outcomes and their chances under each explanation. `quiet[f, e]` is the chance that a fuse shows nothing
    under an explanation of this weight; what a fuse shows is independent of the others once that is given. The same
    `slip` may show any of the outcomes instead."""
    log_quiet = np.log(np.maximum(quiet, 1e-9))
    none = np.exp(log_quiet.sum(axis=0))
    alone = np.exp(log_quiet.sum(axis=0) - log_quiet) * (1.0 - quiet)
    share = (alone * weights).sum(axis=1)
    likeliest = sorted(range(len(fuses)), key=lambda n: (-round(float(share[n]), 12), fuses[n]))[:MOST_APART]
    kept = [alone[n] for n in likeliest]
    another = np.maximum(alone.sum(axis=0) - sum(kept), 0.0)
    several = np.maximum(1.0 - none - alone.sum(axis=0), 0.0)
    names = (NONE_DRAWS, *(only(fuses[n]) for n in likeliest), ANOTHER_DRAWS, SEVERAL_DRAW)
    chances = np.stack([none, *kept, another, several], axis=1)
    chances /= chances.sum(axis=1, keepdims=True)
    return names, np.asarray((1.0 - slip) * chances + slip / len(names))
