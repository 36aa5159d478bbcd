"""A draw that went with something out and stayed away with it in again: what held itself lets go so, always."""

from collections.abc import Sequence

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.diagnosis.weighing.sightings import StateSighting

LET_GO = "let go"
"""The outcome of a try after which the draw stayed away."""
LETS_GO, ELSE_STAYS_AWAY = 0.95, 0.25
"""Chance that it stays away of what holds itself, and of anything else that was seen to: a wire that was moved, a
contact that came free (judgement)."""


def let_go_by(tried: Tried, faults: Sequence[Fault], without: Without) -> StateSighting[Tried] | None:
    """That what was out broke a hold; None where no fault of this vehicle holds itself by it."""
    held = {n: 0 for n, fault in enumerate(faults) if fault.holds and not without.left_of(fault)}
    return StateSighting(tried._replace(outcome=LET_GO), ELSE_STAYS_AWAY, (LETS_GO,), held) if held else None
