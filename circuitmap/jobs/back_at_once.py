"""What was said to be there again right after something was put in: whether that counts.

What is put in may wake the vehicle, which then takes current for that, and nobody knows whether it is the draw. Where
nothing that is fed from the battery in question can wake with it, what is there at once is what is there for good.
"""

from collections.abc import Callable
from dataclasses import replace

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.tries import Try, is_tried_again
from circuitmap.jobs.behind_it_all import BehindItAll
from circuitmap.wiring.platform import Platform


def with_what_came_back_at_once(platform: Platform, evidence: Evidence, circuit: Circuit | None = None) -> Evidence:
    """The evidence with what was said too early where it counts all the same; the platform's circuit is worked out
    only where it is asked for."""
    if not any(_is_open(one) for one in evidence.tries):
        return evidence
    behind = BehindItAll(circuit if circuit is not None else circuit_of(platform), evidence)
    return replace(evidence, tries=_counted(evidence.tries, behind.starts_at_once))


def _is_open(one: Try) -> bool:
    return one.again is not None and one.back is None


def _counted(tries: tuple[Try, ...], starts_at_once: Callable[[tuple[str, ...], str], bool]) -> tuple[Try, ...]:
    told = [
        replace(one, back=one.again) if _is_open(one) and starts_at_once(one.out, one.after.place) else one
        for one in tries
    ]
    return tuple(one for one in told if not (_is_open(one) and is_tried_again(one, told)))  # the later one says it all
