"""A driver who says that it happens in the wet: then water in a plug is likelier than without that word."""

from collections.abc import Sequence

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.observed import SaidInTheWet
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.weather_words import WORDS, words_of

SAID_OF_WATER, SAID_OF_ELSE = 0.5, 0.1
"""How often a driver says that it happens in the wet, of water in a plug and of anything else (judgement: of what has
nothing to do with water some is noticed in the rain, too)."""


def wet_seen(happens_when: str, faults: Sequence[Fault]) -> list[StateSighting[SaidInTheWet]]:
    """What is said of when it happens, weighed only where it speaks of water and some plug may be wet."""
    leaks = {number: 0 for number, fault in enumerate(faults) if fault.leak}
    if not leaks or not words_of(happens_when) & WORDS["wet"]:
        return []
    return [StateSighting(SaidInTheWet(happens_when), SAID_OF_ELSE, (SAID_OF_WATER,), leaks)]
