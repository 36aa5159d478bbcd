"""Rows that stand for two faults at once: what was seen of them, and which pairs they stand for."""

from collections.abc import Sequence

from circuitmap.diagnosis.weighing.sightings import Label, Sighting, StateSighting
from circuitmap.diagnosis.weighing.weights import Together


def seen_of_either(sightings: Sequence[Sighting[Label]], together: Sequence[Together]) -> list[Sighting[Label]]:
    """The same sightings; in those of a state a row for two faults has the higher rank of the two, as a pair of which
    nothing is to be said together has."""
    return [_with_rows(its, together) if isinstance(its, StateSighting) else its for its in sightings]


def as_weighed(faults: Sequence[int], together: Sequence[Together]) -> tuple[int, ...]:
    """The one or two rows by which an explanation was weighed: a pair that does other things together than each apart
    has one of its own."""
    its = set(faults)
    own = (pair.as_fault for pair in together if len(its) > 1 and {pair.first, pair.second} == its)
    return tuple(faults) if (row := next(own, None)) is None else (row,)


def _with_rows(sighting: StateSighting[Label], together: Sequence[Together]) -> StateSighting[Label]:
    ranks = dict(sighting.touched)
    for pair in together:
        its = [ranks[n] for n in (pair.first, pair.second, pair.as_fault) if n in ranks]
        if its:
            ranks[pair.as_fault] = max(its)
    return sighting._replace(touched=ranks)
