"""Lamps that the likely faults let burn: a look at one of them, which touches nothing, says whether it is so."""

from collections.abc import Iterable, Sequence

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.looking import burns
from circuitmap.diagnosis.next_test.done import Done
from circuitmap.wiring.platform import Platform

WORTH_A_LOOK = 0.5
"""From this probability that a lamp burns on a look at it is a step of its own (judgement)."""


def lamps_that_tell(weights: Iterable[float], faults: Sequence[Fault], platform: Platform, done: Done) -> list[str]:
    """The lamps that were not looked at yet, each likely enough to burn, by whatever lets it, where some part would be
    unplugged for it: also by a switch of its own, for a look round does not see into a shut boot or glove box. Where
    only a wire lets it burn, that is followed."""
    found: dict[str, float] = {}
    unplugged: set[str] = set()
    for number, its in enumerate(weights):
        if its > 0.0 and number not in done.ended:
            for lamp in burns(faults[number], platform):
                found[lamp] = found.get(lamp, 0.0) + its
                if faults[number].part in platform.parts:
                    unplugged.add(lamp)
    likely = {lamp for lamp, its in found.items() if its >= WORTH_A_LOOK}
    return sorted(lamp for lamp in likely & unplugged if lamp not in done.seen)
