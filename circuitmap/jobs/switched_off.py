"""What was switched on on purpose, and turned off to look for the rest: its share is its own, and the vehicle that is
looked at is the one with it off."""

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.left_so import as_turned
from circuitmap.evidence.own_share import OWN_SPREAD
from circuitmap.evidence.tries import LEAST_PART
from circuitmap.jobs.against_limit import against_limit, tolerance
from circuitmap.jobs.limits import Limits, limits_of
from circuitmap.jobs.trying import TryVerdict


class AsItStood(NamedTuple):
    """The evidence of a stretch of the card with its switches as they stood at the end of it, and what the draw is held
    to then."""

    evidence: Evidence
    limits: Limits


def as_it_stood(circuit: Circuit, evidence: Evidence, told: Limits) -> AsItStood:
    """`told` are the limits with the switches as the card first said."""
    its = as_turned(circuit.platform, evidence)
    return AsItStood(its, told if its is evidence else limits_of(circuit, its))


def own_shares(
    circuit: Circuit, evidence: Evidence, tries: Iterable[TryVerdict], told: Limits
) -> tuple[TryVerdict, ...]:
    """The same verdicts; of switches that were turned, or taken out, and with which no more went than what they feed
    takes by the sheets, that this was their own share, where too much goes on without it."""
    return tuple(
        replace(one, verdict="own-share", needs=()) if _own(circuit, evidence, one, told) else one for one in tries
    )


def is_switched_off(evidence: Evidence, one: TryVerdict) -> bool:
    """Whether all that was out, or was turned, are switches of which the card says how they stood."""
    return set(one.out) <= evidence.positions.keys()


def _own(circuit: Circuit, evidence: Evidence, one: TryVerdict, told: Limits) -> bool:
    known = told.known_at(one.place)
    if known is None or one.took is None or one.verdict not in ("involved", "part"):
        return False
    if not is_switched_off(evidence, one):
        return False
    positions = {**evidence.positions, **dict(one.turned)}
    absent = (*evidence.absent, *(name for name in one.out if name not in dict(one.turned)))
    off = limits_of(circuit, replace(evidence, positions=positions, absent=absent, readings=()))
    then = off.known_at(one.place)
    takes = known.amps - (then.amps if then is not None else 0.0)
    meters = tolerance(one.after) + (tolerance(one.before) if one.before is not None else 0.0)
    goes_on = against_limit(one.after, off.at(one.place)) == "above"
    return goes_on and LEAST_PART * takes < one.took <= OWN_SPREAD * takes + meters
