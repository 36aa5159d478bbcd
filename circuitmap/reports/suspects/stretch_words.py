"""Which stretch of the wires behind a fuse is left to be followed, in words."""

from circuitmap.diagnosis.diagnosis import Diagnosis

NEARLY_ALL = 0.9
"""Of what is somewhere behind the fuse, in one stretch: nobody follows the others (judgement)."""


def stretch_left(diagnosis: Diagnosis, fuse: str) -> str:
    """` from X61 to X70`, where nearly all that is likely lies there; empty where it may be anywhere behind the fuse,
    or no plug was out yet."""
    chances: dict[str, float] = {}
    for its in diagnosis.parts:
        first = its.faults[0]
        if first.ends and first.place == fuse:
            where = its.part.partition(f" {fuse}")[2]
            chances[where] = chances.get(where, 0.0) + its.probability
    where = max(chances, key=lambda name: chances[name], default="")
    return where if where and chances[where] >= NEARLY_ALL * sum(chances.values()) else ""
