"""What a reading of all that flows leaves no room for: figures that are more, and a way through places that show too
little.

Readings are weighed each by itself, and what a fault takes is known to a factor. Both are too kind where the total is
known: what is printed to take 0.8 A is not on while 0.35 A flow, and what flows is not behind a fuse that shows
nothing.
"""

from collections.abc import Container, Iterable, Mapping, Sequence
from math import erfc, hypot, log, sqrt

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.figures_seen import figure_of
from circuitmap.diagnosis.seen.figures_that_fit import LEAST
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.observed import AllThatFlows, TooLittleOnTheWay
from circuitmap.diagnosis.seen.passed_places import brought_together
from circuitmap.diagnosis.weighing.log_normal import spread_of_moments
from circuitmap.diagnosis.weighing.reading_chance import MISREAD
from circuitmap.diagnosis.weighing.sightings import Figure, LimitSighting, StateSighting
from circuitmap.evidence.readings import Reading

CHANCES = (0.03, 0.06, 0.12, 0.25, 0.5, 1.0)
"""That a place which shows nothing carries all that flows is a slip. Where its own zero was weighed, it may have
counted as little enough to be hidden; one of these brings it to about the odds of a slip."""
FREE = len(CHANCES) - 1
MOST_PLACES, MOST_OF_IT = 4, 0.5
"""Besides the totals, of so many places, those that carry most: each this share of the largest reading or more. What a
branch takes beside that is seen by its own figures."""


def limits_seen(nets: Netted, faults: Sequence[Fault], tree: PlaceTree) -> list[LimitSighting[AllThatFlows]]:
    """Each total, and the places that carry most: what is printed and is more does not flow there."""
    totals = {reading.place for reading in nets.totals}
    shown = [
        (place in totals, reading.amps, place)
        for place, reading in nets.readings.items()
        if reading.amps is not None and reading.shows_current and reading.amps >= LEAST
    ]
    largest = max((amps for _, amps, _ in shown), default=0.0)
    shown = [its for its in shown if its[0] or its[1] >= MOST_OF_IT * largest]
    shown.sort(key=lambda its: (-its[0], -its[1], its[2]))
    most = {place: amps + _error(nets.readings[place]) for _, amps, place in shown[: len(totals) + MOST_PLACES]}
    figures: dict[str, dict[int, tuple[Figure, ...]]] = {place: {} for place in most}
    printed = tree.derived(_PrintedAt)
    for number, fault in enumerate(faults) if most else ():
        its = printed.of(fault.brings, most)
        for place, some_figures in figures.items():
            some = its[place]
            if some:
                some_figures[number] = some
    return [
        LimitSighting(AllThatFlows(place, nets.readings[place].amps or 0.0), most[place], its)
        for place, its in figures.items()
        if any(sum(figure.amps for figure in some) > most[place] for some in its.values())
    ]


class _PrintedAt:
    """What is printed of what faults bring to places, for each that somebody asked about: it hangs on no reading."""

    def __init__(self, tree: PlaceTree) -> None:
        self.tree = tree
        self._known: dict[int, tuple[tuple[Flow, ...], dict[str, tuple[Figure, ...]]]] = {}

    def of(self, flows: tuple[Flow, ...], places: Iterable[str]) -> Mapping[str, tuple[Figure, ...]]:
        """The figures at (at least) these places; the flows are told by their identity, so they are kept."""
        its = self._known.get(id(flows))
        if its is None or its[0] is not flows:
            its = self._known[id(flows)] = (flows, {})
        new = [place for place in places if place not in its[1]]
        if new:
            its[1].update(dict.fromkeys(new, ()))
            its[1].update(_printed(flows, new, self.tree))
        return its[1]


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
        if reading.hides is not None and place not in doubted
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
        if any(rank < FREE for rank in touched.values()):
            found.append(StateSighting(TooLittleOnTheWay(total.place, amps), 1.0, CHANCES, touched))
    return found


def _rank(
    flows: Iterable[Flow], hide: Mapping[str, float | None], left: float, total: str, tree: PlaceTree
) -> int | None:
    """Where all that comes from a battery passes places that show too little, how unlikely that still is; the last
    rank where some of it need not; None where nothing comes from there."""
    hidden: dict[str, float] = {}
    comes: list[Flow] = []
    for flow in flows:
        places = tree.way_places(flow.way.places)
        if total not in places:
            continue
        comes.append(flow)
        zeros = [(hide[place] or 0.0, place) for place in places if place in hide and place != total]
        if not zeros:
            return FREE
        least, place = min(zeros)
        hidden[place] = least
    if not comes:
        return None
    most = sum(hidden.values())
    if most >= left:
        return FREE
    taken = brought_together(comes)
    its = spread_of_moments(sum(t.mean for t in taken), sum(t.variance for t in taken))
    weighed = 0.5 * erfc((log(its.median) - log(most)) / (its.sigma * sqrt(2.0))) if most > 0.0 else 0.0
    fitting = MISREAD / max(weighed, MISREAD)
    return min(range(len(CHANCES)), key=lambda n: abs(log(CHANCES[n] / fitting)))


def _error(reading: Reading) -> float:
    """Two standard deviations of a reading's errors, and its last digit, in A."""
    return reading.half_step + 2.0 * hypot(reading.zero, reading.relative * (reading.amps or 0.0))
