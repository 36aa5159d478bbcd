"""Tries with which a draw went although the places it should have passed showed nothing: which of the two was wrong."""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.car.picture import LIVE_PERHAPS, Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.observed import Observation, Tried
from circuitmap.diagnosis.weighing.sightings import Outcome, Sighting, TrySighting

Array = NDArray[np.float64]

OVERLOOKED = 0.5
"""Chance that a place was misread that showed nothing, where the draw is known to pass it: a probe beside the test
point, or the fuse beside (judgement)."""
ELSEWHERE = 0.3
"""The share of a current that may flow where something was read, or nothing was looked for (judgement)."""
NEARLY = 0.8
"""The share of all that would end with something out that counts as nearly whatever would (judgement)."""
HARDLY = 0.05
"""The chance by the readings alone that anything ends with what was out, below which a try speaks against them
(judgement)."""
ODD = "odd"
"""Why a try is not counted that was made once, and speaks against zeros that the readings beside them bear out."""


class AgainstZeros(NamedTuple):
    """`sightings` and `tried` without the tries that are doubted themselves, until they are made again; `overlooked`
    are the places where a current was overlooked, each with the try that shows it."""

    sightings: list[Sighting[Observation]]
    tried: list[Tried]
    overlooked: dict[str, Tried]


def against_zeros(
    sightings: Iterable[Sighting[Observation]],
    tried: Sequence[Tried],
    faults: Sequence[Fault],
    nets: Netted,
    tree: PlaceTree,
    by_readings: Callable[[], Array],
) -> AgainstZeros:
    """The places that were read once and showed nothing, though a current went with something out, and nearly whatever
    would end with that brings nearly all of its current through them: the current was overlooked there.

    Where what was read beside such a place accounts for what flows above it, two readings speak for its nothing, and
    one try against it: then the try is doubted first. So it is where a network may have ended with it, too, if by the
    readings hardly anything did: `by_readings` are the weights of the faults by these alone. A try after which the draw
    stayed away is held against nothing."""
    hidden = {
        place: reading.hides or 0.0
        for place, reading in nets.readings.items()
        if reading.amps is not None and not reading.shows_current and place not in nets.read_twice
    }
    kept: list[Sighting[Observation]] = []
    found: dict[str, Tried] = {}
    odd: set[Tried] = set()
    for sighting in sightings:
        its = sighting.label
        if not hidden or not isinstance(sighting, TrySighting) or not isinstance(its, Tried) or its.outcome == "stays":
            kept.append(sighting)
            continue
        if its.attempt.stayed_away:  # then it tells nothing of where it flowed
            kept.append(sighting)
            continue
        went = sighting.outcome.was - max(sighting.outcome.now, 0.0)
        quiet = frozenset(place for place, amps in hidden.items() if amps < went)  # a large fuse may hide all of it
        borne_out = frozenset(place for place in quiet if _is_borne_out(place, sighting.outcome, nets))
        if borne_out and not _made_again(its, tried):
            own = _nearly_all_pass(sighting, borne_out, faults, tree, own=True)
            if _nearly_all_pass(sighting, borne_out, faults, tree) or (own and _hardly_ends(sighting, by_readings())):
                odd.add(its)
                continue
        kept.append(sighting)
        found.update(dict.fromkeys(_nearly_all_pass(sighting, quiet, faults, tree) - borne_out, its))
    told = [one._replace(why_not=ODD) if one in odd else one for one in tried]
    return AgainstZeros(kept, told, found)


def _nearly_all_pass(
    sighting: TrySighting[Observation],
    places: frozenset[str],
    faults: Sequence[Fault],
    tree: PlaceTree,
    own: bool = False,
) -> frozenset[str]:
    """Those of some places through which nearly whatever ends with what was out brings nearly all of its current; none
    where much of it would flow elsewhere. `own`: of faults that keep nothing else awake or on."""
    passed: frozenset[str] = frozenset()
    through, elsewhere = 0.0, 0.0
    read_at = sighting.label.attempt.after.place if isinstance(sighting.label, Tried) else ""
    for number in sighting.before:
        if number in sighting.after or number >= len(faults) or (own and faults[number].state is not None):
            continue
        # What does not pass the place where it was seen to fall, or may rest, is no part of what fell.
        brings = [flow for flow in faults[number].brings if _shows_at(flow, read_at, tree)]
        if not brings:
            continue
        on_the_way = [places.intersection(tree.way_places(flow.way.places)) for flow in brings]
        seen = sum(flow.mean for flow, its in zip(brings, on_the_way, strict=True) if not its)
        if seen < ELSEWHERE * sum(flow.mean for flow in brings):
            through += faults[number].odds
            passed = passed.union(*on_the_way)
        else:
            elsewhere += faults[number].odds
    return passed if through >= NEARLY * (through + elsewhere) else frozenset()


def _shows_at(flow: Flow, place: str, tree: PlaceTree) -> bool:
    return flow.nothing < LIVE_PERHAPS and place in tree.way_places(flow.way.places)


def _hardly_ends(sighting: TrySighting[Observation], weights: Array) -> bool:
    ended = sum(float(weights[number]) for number in sighting.before if number not in sighting.after)
    return ended < HARDLY * float(weights.sum())


def _is_borne_out(place: str, went: Outcome, nets: Netted) -> bool:
    """Whether a place that shows nothing can hide no more than a part of what went: above it no more flows than what
    was read beside it."""
    above = next((name for name, its in nets.fixed.items() if place in its), None)
    segment = nets.measured.get(above) if above is not None else None
    if segment is None or segment.amps is None:
        return False
    return segment.amps + segment.error < ELSEWHERE * (went.was - max(went.now, 0.0))


def _made_again(one: Tried, tried: Iterable[Tried]) -> bool:
    """Whether the same was out another time, with the same outcome."""
    same = (t for t in tried if set(t.attempt.out) == set(one.attempt.out) and not t.why_not)
    return sum(t.outcome == one.outcome and t.attempt.after.place == one.attempt.after.place for t in same) > 1
