"""Why an explanation stands where it stands: what each observation says for it against its best rival."""

from collections.abc import Hashable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.classes import SAME_WITHIN, FaultClass
from circuitmap.diagnosis.decibans import NATS_TO_DECIBANS, decibans
from circuitmap.diagnosis.faults import Fault
from circuitmap.diagnosis.observing import Seen
from circuitmap.diagnosis.tables import Table
from circuitmap.diagnosis.weighing import Weighing

Array = NDArray[np.float64]

BEFORE_ANY_READING = Seen("before", "", "before any reading")
ONE_ZERO = "zero"
TELLS = 1.0
"""Decibans from which on a reading is shown as saying anything."""


class Line(NamedTuple):
    """What one observation says, in decibans; positive speaks for the explanation."""

    about: Hashable
    decibans: float


class Argument(NamedTuple):
    """All lines against the best rival; they add up to `total`, to the last digit shown."""

    rival: FaultClass | None
    lines: tuple[Line, ...]

    @property
    def total(self) -> float:
        return round(sum(line.decibans for line in self.lines), 2)


class Arguments:
    """The case for each explanation. `apart` are, for each table of the weighing that speaks of several readings, the
    tables of those readings each by itself; empty for the others."""

    def __init__(
        self,
        classes: Sequence[FaultClass],
        weighing: Weighing,
        faults: Sequence[Fault],
        apart: Sequence[Sequence[Table]],
    ) -> None:
        self.classes = classes
        self.tables = weighing.tables
        self.apart = apart
        self.first = np.array([c.members[0][0] for c in classes], dtype=np.intp)
        self.second = np.array([c.members[0][1] if len(c.members[0]) > 1 else -1 for c in classes], dtype=np.intp)
        self.said = np.stack([self._said(table) for table in weighing.tables]) if weighing.tables else np.zeros((0, 0))
        self.said_apart = [[self._said(table) for table in alone] for alone in apart]
        self.subjects = [
            frozenset(about for n in c.members[0] for about in (faults[n].about, *faults[n].wakes)) for c in classes
        ]

    def _said(self, table: Table) -> Array:
        """What one table says of each explanation, in decibans."""
        second = np.where(self.second < 0, 0, table.columns[self.second])
        return np.asarray(NATS_TO_DECIBANS * table.log_chance[table.columns[self.first], second])

    def of(self, number: int) -> Argument:
        """All lines for an explanation against its best rival."""
        rival = self._rival(number)
        if rival is None:
            return Argument(None, ())
        lines = []
        for n, table in enumerate(self.tables):
            said = float(self.said[n, number] - self.said[n, rival])
            for one, own_said in zip(self.apart[n], self.said_apart[n], strict=True):
                own = float(own_said[number] - own_said[rival])
                lines.append(Line(one.labels[0], round(own, 2)))
                said -= own
            label = Seen(ONE_ZERO, "", "") if self.apart[n] else table.labels[0]
            lines.append(Line(label, round(said, 2)))
        mine, other = self.classes[number].probability, self.classes[rival].probability
        prior = decibans(mine / other) - sum(line.decibans for line in lines) if mine > 0.0 and other > 0.0 else 0.0
        return Argument(self.classes[rival], (*lines, Line(BEFORE_ANY_READING, round(prior, 2))))

    def _rival(self, number: int) -> int | None:
        """The likeliest explanation that is about something else and that some reading really tells from it; if there
        is none, any that some reading tells from it at all; else the likeliest other one."""
        others = [n for n, c in enumerate(self.classes) if n != number and c.probability > 0.0]
        if not others or not len(self.said):
            return others[0] if others else None
        apart = np.abs(self.said - self.said[:, [number]]).max(axis=0)
        elsewhere = [n for n in others if not self.subjects[n] & self.subjects[number]]
        for least, rivals in ((TELLS, elsewhere), (SAME_WITHIN, elsewhere), (SAME_WITHIN, others)):
            for rival in rivals:
                if apart[rival] > least:
                    return rival
        return others[0]
