"""Places that carry a current, but no more than what sleeps behind them takes: nothing draws there."""

from collections.abc import Iterable, Sequence
from math import sqrt

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.weighing.sightings import CurrentSighting
from circuitmap.reports.suspects.amounts import ampere, is_fine
from circuitmap.reports.words.paragraphs import shortened


def only_sleeps(currents: Iterable[CurrentSighting[Segment]], segment: Segment) -> bool:
    """Whether a place read by itself carries no more than what sleeps there usually takes, to two standard
    deviations and the last digit; `currents` are the readings as they were weighed."""
    if len(segment.readings) > 1 or segment.amps is None:
        return False
    its = next((sighting for sighting in currents if sighting.label == segment), None)
    usual = its.healthy_mean + 2.0 * sqrt(its.healthy_variance) if its is not None else 0.0
    return 0.0 < segment.amps <= usual + segment.readings[0].half_step


def sleeping_words(diagnosis: Diagnosis, places: Sequence[str]) -> str:
    """`MAIN.F1 shows no more than what sleeps there takes (5 mA)`."""
    segments = [diagnosis.netted.measured[place] for place in places]
    most = max(segment.amps or 0.0 for segment in segments)
    fine = all(is_fine(segment.readings[0]) for segment in segments)
    show, at_most = ("shows", "") if len(places) == 1 else ("show", "at most ")
    return f"{shortened(sorted(places))} {show} no more than what sleeps there takes ({at_most}{ampere(most, fine)})"
