"""How a reading stands to the figures that the sheets print: met, or missed.

What a fault takes is weighed as known to a factor, because a figure may be another vehicle's, or of another state. More
often than not it is printed for just this state, and then it is met closely: that is weighed here, beside the factor.
"""

from collections.abc import Iterable

from circuitmap.diagnosis.car.currents import INFLATED, SINGLE_VALUE_SIGMA
from circuitmap.diagnosis.car.picture import FlowKey
from circuitmap.diagnosis.seen.figures_that_fit import CLOSE, LEAST, MOST_PLACES
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.seen.observed import FigureAt
from circuitmap.diagnosis.weighing.log_normal import spread_of_moments
from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, Figure, FigureSighting
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

RUNNING_MET, RUNNING_MISSED, AWAKE_MET, AWAKE_MISSED = 4.0, 0.44, 3.0, 0.72
"""How many times likelier than by the factor alone a figure is met or missed: what a lamp, motor or coil takes is
printed for what it does, and six in ten such figures are met, where the factor alone lets one in eight come so close;
what a module takes awake hangs on what it is doing, and three in ten are met (judgement)."""
KNOWN = INFLATED * SINGLE_VALUE_SIGMA + 0.01
"""A current whose logarithm is spread by no more than a single printed figure is (`car/currents.py`)."""


def figures_seen(currents: Iterable[CurrentSighting[Segment]], platform: Platform) -> list[FigureSighting[FigureAt]]:
    """An observation for each of the fuses that draw most, where some fault alone has figures there that are met. While
    no fuse was found to draw, for how high a draw is that comes and goes in a log: that is one thing, whatever it hangs
    on."""
    drawing = [
        sighting
        for sighting in currents
        if not sighting.branches and (sighting.label.amps or 0.0) >= LEAST and sighting.label.readings[0].shows_current
    ]
    fuses = [its for its in drawing if isinstance(platform.parts.get(its.label.place), Fuse)]
    drawing = fuses or [its for its in drawing if _is_an_event(its.label)]
    drawing.sort(key=lambda sighting: (-(sighting.label.amps or 0.0), sighting.label.place))
    return [seen for sighting in drawing[:MOST_PLACES] if (seen := _seen(sighting)) is not None]


def _is_an_event(segment: Segment) -> bool:
    log = segment.readings[0].log
    return log is not None and log.state == "event"


def _seen(sighting: CurrentSighting[Segment]) -> FigureSighting[FigureAt] | None:
    amps = sighting.label.amps or 0.0
    off = CLOSE * amps + sighting.label.readings[0].half_step
    known: dict[int, tuple[Figure, ...]] = {}
    for brought in sighting.brought.values():
        if id(brought) not in known:
            known[id(brought)] = tuple(figure_of(current) for current in brought)
    alone = (its for its in known.values() if its and all(figure.trust != "unknown" for figure in its))
    if not any(abs(sum(f.amps for f in its) + sighting.healthy_mean - amps) <= off for its in alone):
        return None
    return FigureSighting(
        FigureAt(sighting.label.place, amps),
        amps,
        off,
        sighting.healthy_mean,
        {number: known[id(brought)] for number, brought in sighting.brought.items()},
        (RUNNING_MET, RUNNING_MISSED, AWAKE_MET, AWAKE_MISSED),
    )


def figure_of(current: Brought) -> Figure:
    """What is printed of a current, and how far that can be trusted."""
    taken = current.key.taken if isinstance(current.key, FlowKey) else "own"
    if current.mean > 0.0 and taken not in ("own", "between"):
        spread = spread_of_moments(current.mean, current.variance)
        if spread.sigma <= KNOWN:
            return Figure(current.key, spread.median, "exact" if taken in ("running", "coil") else "state")
    return Figure(current.key, current.mean, "unknown")
