"""What readings were weighed a moment ago: one more reading leaves most of the others as they were."""

from collections.abc import Sequence
from threading import Lock
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, Label
from circuitmap.diagnosis.weighing.ways import Columns

Array = NDArray[np.float64]

MOST_KEPT = 500_000
"""Numbers that are kept in all: four megabytes."""
MOST_ALONE = 400
"""Readings of which is kept what each fault by itself makes of them."""


class KnownTable(NamedTuple):
    """A reading that was weighed: `rows` is the way of each of the faults that touch it, in their order. `brought` is
    what they bring: kept, so that nothing else can be taken for it."""

    brought: Sequence[tuple[Brought, ...]]
    rows: Columns
    log_chance: Array

    def columns(self, sighting: CurrentSighting[Label], faults: int) -> Columns:
        """One entry a fault. The faults may be numbered otherwise than when it was weighed."""
        columns = np.zeros(faults, dtype=np.intp)
        columns[list(sighting.brought)] = self.rows
        return columns


class KnownAlone(NamedTuple):
    """The same for each fault by itself: the row of each fault that touches it, and a chance for each row."""

    brought: Sequence[tuple[Brought, ...]]
    rows: Columns
    log_chance: Array


class KnownTables:
    """The last that were weighed, by all that their chances hang on. What a fault brings is told by its identity, so
    it pays where the same values are brought again. Several threads may ask."""

    def __init__(self) -> None:
        self._known: dict[object, KnownTable] = {}
        self._alone: dict[object, KnownAlone] = {}
        self._size = 0
        self._lock = Lock()

    def of(self, sighting: CurrentSighting[Label]) -> KnownTable | None:
        """How the same reading was weighed before."""
        key = _key(sighting)
        with self._lock:
            found = self._known.pop(key, None)
            if found is not None:
                self._known[key] = found  # the last that is forgotten
        return found

    def keep(self, sighting: CurrentSighting[Label], columns: Columns, log_chance: Array) -> None:
        """Remember how a reading was weighed, and forget what was not asked for longest."""
        if (
            log_chance.size > MOST_KEPT // 5
        ):  # room for a total that three hundred faults touch, each in a way of its own
            return
        its = KnownTable(list(sighting.brought.values()), columns[list(sighting.brought)], log_chance)
        with self._lock:
            before = self._known.pop(_key(sighting), None)
            self._size += log_chance.size - (before.log_chance.size if before is not None else 0)
            self._known[_key(sighting)] = its
            while self._size > MOST_KEPT:
                self._size -= self._known.pop(next(iter(self._known))).log_chance.size

    def alone(self, sighting: CurrentSighting[Label], faults: int) -> tuple[Columns, Array] | None:
        """The way in which each fault touches the same reading, and the log chance of each way by itself."""
        key = _key_alone(sighting)
        with self._lock:
            found = self._alone.pop(key, None)
            if found is None:
                return None
            self._alone[key] = found
        columns = np.zeros(faults, dtype=np.intp)
        columns[_touching(sighting)] = found.rows
        return columns, found.log_chance

    def keep_alone(self, sighting: CurrentSighting[Label], columns: Columns, log_chance: Array) -> None:
        """Remember that, and forget what was not asked for longest."""
        its = KnownAlone(list(sighting.brought.values()), columns[_touching(sighting)], log_chance)
        with self._lock:
            self._alone[_key_alone(sighting)] = its
            while len(self._alone) > MOST_ALONE:
                self._alone.pop(next(iter(self._alone)))


def _touching(sighting: CurrentSighting[Label]) -> list[int]:
    return [*sighting.brought, *(fault for fault in sighting.taken if fault not in sighting.brought)]


def _key_alone(sighting: CurrentSighting[Label]) -> object:
    taken = tuple(sighting.taken.get(fault, 0) for fault in _touching(sighting)) if sighting.taken else ()
    return (*_key(sighting), sighting.zero, sighting.branches, taken)


def _key(sighting: CurrentSighting[Label]) -> tuple[object, ...]:
    return (
        tuple(map(id, sighting.brought.values())), sighting.healthy_mean, sighting.healthy_variance, sighting.strip,
        sighting.misread, sighting.elsewhere,
    )  # fmt: skip
