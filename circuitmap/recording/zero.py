"""What does the clamp show with nothing in it, and how much of each level is that?"""

from typing import NamedTuple

from circuitmap.recording.recorded import Recording

NOT_READ = 0.030
"""How far off, A, a clamp's zero is where nobody read it (practice: one standard deviation of a general clamp)."""
MOVES = 0.010
"""How far a zero, A, that was read once goes in a night (judgement)."""
LEAST = 0.002


class ClampZero(NamedTuple):
    """What is taken off every level, and by how much that may be off, A; `read` is how often it was read."""

    amps: float
    error: float
    read: int


def zero_of(recording: Recording, said: tuple[float, ...]) -> ClampZero:
    """From what somebody says, else from what the file says: read before, or before and after."""
    read = said or tuple(remark.amount for remark in recording.remarks if remark.kind == "zero said")
    if not read:
        return ClampZero(0.0, NOT_READ, 0)
    if len(read) == 1:
        return ClampZero(read[0], MOVES, 1)
    return ClampZero((min(read) + max(read)) / 2, max(LEAST, (max(read) - min(read)) / 2), len(read))
