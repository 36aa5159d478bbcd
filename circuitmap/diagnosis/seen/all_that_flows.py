"""What a reading of all that flows leaves no room for: figures that are more, and a way through places that show too
little.

Readings are weighed each by itself, and what a fault takes is known to a factor. Both are too kind where the total is
known: what is printed to take 0.8 A is not on while 0.35 A flow, and what flows is not behind a fuse that shows
nothing.
"""

from collections.abc import Container, Iterable, Mapping, Sequence
from math import hypot

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.figures_seen import figure_of
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.observed import AllThatFlows, TooLittleOnTheWay
from circuitmap.diagnosis.seen.passed_places import brought_together
from circuitmap.diagnosis.weighing.sightings import Figure, LimitSighting, StateSighting
from circuitmap.evidence.readings import Reading

BEHIND_ZEROS = 0.06
"""The chance that a place which shows nothing carries all that flows, by a slip: one reading in fifty is one, a third
of what a fault may take alone is little enough to be hidden, and that was weighed (judgement)."""
MOST_PLACES = 4
"""Besides the totals, of so many places, those that carry most."""


def limits_seen(nets: Netted, faults: Sequence[Fault], tree: PlaceTree) -> list[LimitSighting[AllThatFlows]]:
    """Each total, and the places that carry most: what is printed and is more does not flow there."""
    totals = {reading.place for reading in nets.totals}
    shown = [
        (place in totals, reading.amps, place)
        for place, reading in nets.readings.items()
        if reading.amps is not None and reading.shows_current and reading.amps > 0.0
    ]
    shown.sort(key=lambda its: (-its[0], -its[1], its[2]))
    most = {place: amps + _error(nets.readings[place]) for _, amps, place in shown[: len(totals) + MOST_PLACES]}
    figures: dict[str, dict[int, tuple[Figure, ...]]] = {place: {} for place in most}
    known: dict[int, Mapping[str, tuple[Figure, ...]]] = {}
    for number, fault in enumerate(faults):
        its = known.get(id(fault.brings))
        if its is None:
            its = known[id(fault.brings)] = _printed(fault.brings, most, tree)
        for place, some in its.items():
            figures[place][number] = some
    return [
        LimitSighting(AllThatFlows(place, nets.readings[place].amps or 0.0), most[place], its)
        for place, its in figures.items()
        if any(sum(figure.amps for figure in some) > most[place] for some in its.values())
    ]


def _printed(flows: Iterable[Flow], places: Container[str], tree: PlaceTree) -> Mapping[str, tuple[Figure, ...]]:
    passing: dict[str, list[Flow]] = {}
    for flow in flows:
        for place in tree.way_places(flow.way.places):
            if place in places:
                passing.setdefault(place, []).append(flow)
    found = {}
    for place, its in passing.items():
        figures = tuple(f for f in map(figure_of, brought_together(its)) if f.trust != "unknown")
        if figures:
            found[place] = figures
    return found


def zeros_seen(
    nets: Netted, faults: Sequence[Fault], parked: Parked, tree: PlaceTree, doubted: Container[str]
) -> list[StateSighting[TooLittleOnTheWay]]:
    """For each total, the faults whose currents all pass places that show nothing, and could hide less than what
    flows. `doubted` are places whose zero is not believed."""
    hide = {
        place: reading.hides
        for place, reading in nets.readings.items()
        if reading.hides is not None and place not in doubted and not reading.watched
    }
    found = []
    for total in nets.totals if hide else ():
        amps = total.amps or 0.0
        asleep = sum(f.mean for f in parked.asleep.values() if total.place in tree.way_places(f.way.places))
        left = amps - _error(total) - asleep
        known: dict[int, int | None] = {}
        touched: dict[int, int] = {}
        for number, fault in enumerate(faults):
            key = id(fault.brings)
            if key not in known:
                known[key] = _rank(fault.brings, hide, left, total.place, tree)
            rank = known[key]
            if rank is not None:
                touched[number] = rank
        if 0 in touched.values():
            found.append(StateSighting(TooLittleOnTheWay(total.place, amps), 1.0, (BEHIND_ZEROS, 1.0), touched))
    return found


def _rank(
    flows: Iterable[Flow], hide: Mapping[str, float | None], left: float, total: str, tree: PlaceTree
) -> int | None:
    """0 where all that comes from a battery passes places that show too little; 1 where some of it need not; None
    where nothing comes from there."""
    hidden: dict[str, float] = {}
    comes = False
    for flow in flows:
        places = tree.way_places(flow.way.places)
        if total not in places:
            continue
        comes = True
        its = [(hide[place] or 0.0, place) for place in places if place in hide and place != total]
        if not its:
            return 1
        most, place = min(its)
        hidden[place] = most
    if not comes:
        return None
    return 0 if sum(hidden.values()) < left else 1


def _error(reading: Reading) -> float:
    """Two standard deviations of a reading's errors, and its last digit, in A."""
    return reading.half_step + 2.0 * hypot(reading.zero, reading.relative * (reading.amps or 0.0))
