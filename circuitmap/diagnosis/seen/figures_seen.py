"""How a reading stands to the figures that the sheets print: met, or missed.

What a fault takes is weighed as known to a factor, because a figure may be another vehicle's, or of another state. More
often than not it is printed for just this state, and then it is met closely: that is weighed here, beside the factor.
A single figure is nominal, too: where what one thing may take by its range holds the reading, another thing's figure
that happens to be met says little more.
"""

from collections.abc import Iterable

from circuitmap.diagnosis.car.currents import COIL, INFLATED, SINGLE_VALUE_SIGMA, is_coil_typed, spread_of
from circuitmap.diagnosis.car.picture import FlowKey
from circuitmap.diagnosis.seen.figures_that_fit import CLOSE, KNOWN_TO, LEAST, MOST_PLACES
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.seen.observed import FigureAt
from circuitmap.diagnosis.weighing.log_normal import spread_of_moments
from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, Figure, FigureSighting
from circuitmap.power.typical import RELAY_COIL
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Fuse, Load
from circuitmap.wiring.platform import Platform

RUNNING_MET, RUNNING_MISSED, AWAKE_MET, AWAKE_MISSED = 4.0, 0.44, 3.0, 0.72
"""How many times likelier than by the factor alone a figure is met or missed: what a lamp, motor or coil takes is
printed for what it does, and six in ten such figures are met, where the factor alone lets one in eight come so close;
what a module takes awake hangs on what it is doing, and three in ten are met (judgement)."""
RANGE_HOLDS, BESIDE_A_RANGE = 1.2, 1.9
"""How many times likelier than by the factor alone a range holds the reading: it is taken to hold eight times in ten
(`car/currents.py`), and the factor alone keeps within it in two of three; and a single figure that is met where a range
holds the reading: no more than that range gains by being narrower than the factor (judgement)."""
WIDEST = 4.0
"""A range whose high end is more than so many times its low end holds anything (judgement)."""
SAME, MOST_BY_COILS = 0.01, 0.1
"""To this share a current is the printed one itself; and of what a fault brings coils may be so much (judgement)."""
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
    return [seen for sighting in drawing[:MOST_PLACES] if (seen := _seen(sighting, platform)) is not None]


def _is_an_event(segment: Segment) -> bool:
    log = segment.readings[0].log
    return log is not None and log.state == "event"


def _seen(sighting: CurrentSighting[Segment], platform: Platform) -> FigureSighting[FigureAt] | None:
    amps = sighting.label.amps or 0.0
    off = CLOSE * amps + sighting.label.readings[0].half_step
    known: dict[int, tuple[Figure, ...]] = {}
    for brought in sighting.brought.values():
        if id(brought) not in known:
            known[id(brought)] = _with_ranges(tuple(figure_of(current) for current in brought), brought, platform)
    missing = amps - sighting.healthy_mean
    met = [its for its in known.values() if its and _is_met(its, missing, off)]
    if not any(map(_is_narrow, met)):
        return None
    beside = any(sum(figure.below + figure.above for figure in its) > 2.0 * off for its in met)
    running_met, awake_met = (min(its, BESIDE_A_RANGE) if beside else its for its in (RUNNING_MET, AWAKE_MET))
    return FigureSighting(
        FigureAt(sighting.label.place, amps),
        amps,
        off,
        sighting.healthy_mean,
        {number: known[id(brought)] for number, brought in sighting.brought.items()},
        (running_met, RUNNING_MISSED, awake_met, AWAKE_MISSED, RANGE_HOLDS),
    )


def _is_met(figures: tuple[Figure, ...], missing: float, off: float) -> bool:
    if any(figure.trust == "unknown" for figure in figures):
        return False
    amps = sum(figure.amps for figure in figures)
    below, above = sum(figure.below for figure in figures), sum(figure.above for figure in figures)
    return amps - below - off <= missing <= amps + above + off


def _is_narrow(figures: tuple[Figure, ...]) -> bool:
    most = sum(figure.amps + figure.above for figure in figures)
    return most <= KNOWN_TO * sum(figure.amps - figure.below for figure in figures)


def _with_ranges(figures: tuple[Figure, ...], brought: tuple[Brought, ...], platform: Platform) -> tuple[Figure, ...]:
    """Each figure with the range that it stands for. A coil whose current nobody typed takes what coils do: beside what
    its contact feeds that is little, and known well enough; by itself nothing is printed of it."""
    ranges = tuple(
        its._replace(
            amps=(band.low * band.high) ** 0.5,
            trust=its.trust if its.trust != "unknown" else "state" if _is_of_a_state(its) else "exact",
            below=(band.low * band.high) ** 0.5 - band.low,
            above=band.high - (band.low * band.high) ** 0.5,
        )
        if (band := _range_of(current, platform)) is not None
        else its
        for its, current in zip(figures, brought, strict=True)
    )
    coils = [its for its, was in zip(ranges, figures, strict=True) if was.trust == "unknown" and its.trust != "unknown"]
    by_coils = sum(its.amps for its in coils if isinstance(its.key, FlowKey) and its.key.taken == "coil")
    return ranges if by_coils <= MOST_BY_COILS * sum(its.amps for its in ranges) else figures


def _is_of_a_state(figure: Figure) -> bool:
    return isinstance(figure.key, FlowKey) and figure.key.taken == "awake"


def _range_of(current: Brought, platform: Platform) -> Band | None:
    """The range that is printed of just this current, or that a coil usually takes; None for a single figure, for what
    is shared out or may be off, and for a range that holds anything."""
    key = current.key
    if not isinstance(key, FlowKey):
        return None
    part = platform.parts.get(key.owner)
    band = None
    if key.taken == "coil" and part is not None and not is_coil_typed(part):
        return RELAY_COIL.amps if abs(current.mean - COIL.mean) <= SAME * COIL.mean else None
    if isinstance(part, Load) and key.taken == "running":
        band = part.running_at.get(key.pin, part.running)
    elif isinstance(part, Load) and key.taken == "awake":
        band = part.awake_at.get(key.pin, part.awake)
    typed = spread_of(band) if band is not None else None
    if band is None or typed is None or not 0.0 < band.low < band.high <= WIDEST * band.low:
        return None
    return band if abs(current.mean - typed.mean) <= SAME * typed.mean else None


def figure_of(current: Brought) -> Figure:
    """What is printed of a current, and how far that can be trusted."""
    taken = current.key.taken if isinstance(current.key, FlowKey) else "own"
    if current.mean > 0.0 and taken not in ("own", "between"):
        spread = spread_of_moments(current.mean, current.variance)
        if spread.sigma <= KNOWN:
            return Figure(current.key, spread.median, "exact" if taken in ("running", "coil") else "state")
    return Figure(current.key, current.mean, "unknown")
