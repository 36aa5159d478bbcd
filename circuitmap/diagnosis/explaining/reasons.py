"""Why an explanation stands where it stands.

What each observation says is told in two ways: for the place at all, against nothing being wrong or something else
being wrong; and between the explanation and one rival, where the lines add up to the whole difference between the two.
"""

from collections.abc import Sequence
from enum import Enum
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.explaining.classes import SAME_WITHIN, FaultClass
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.told_as import told_as
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.seen.observed import AllThatFlows, FigureAt, Observation, TooLittleOnTheWay
from circuitmap.diagnosis.weighing.decibans import NATS_TO_DECIBANS, decibans
from circuitmap.diagnosis.weighing.of_two import as_weighed
from circuitmap.diagnosis.weighing.tables import Table
from circuitmap.diagnosis.weighing.weights import Weighing

Array = NDArray[np.float64]

TELLS = 1.0
"""A reading is shown as saying something from this many decibans on."""
DECIDES_DECIBANS = 3.0
"""One reading tells an explanation from a rival about the same place from this many decibans on (judgement)."""
ALIVE = 0.01
"""A part with an explanation of this probability is not told to be out (judgement)."""
NEAR_DECIBANS = 13.0
"""A rival is worth telling if, without the reading that tells most, it would be within this many decibans
(judgement)."""
MOST_BEATEN = 2
RIVAL_FROM = 0.3
"""A rival that nothing tells from an explanation is named from this share of its chance on (judgement)."""


class Unseen(Enum):
    """What no reading says by itself, kept where the sums must add up: how common an explanation is, and that the zero
    of a meter is the same in all its readings."""

    BEFORE = "before"
    ONE_ZERO = "one zero"


About = Observation | Unseen


class ReasonLine(NamedTuple):
    """What one observation says, in decibans; positive speaks for the explanation."""

    about: About
    decibans: float


class Argument(NamedTuple):
    """All lines against the best rival; they add up to `total`, exact to the last digit shown."""

    rival: FaultClass | None
    lines: tuple[ReasonLine, ...]

    @property
    def total(self) -> float:
        return round(sum(line.decibans for line in self.lines), 2)


class Beaten(NamedTuple):
    """A rival, and what each observation says for the explanation against it."""

    rival: FaultClass
    lines: tuple[ReasonLine, ...]


class Arguments:
    """The case for each explanation. `apart` are, for each weighed table that covers several readings, the tables of
    those readings each by itself; empty for the others."""

    def __init__(
        self,
        classes: Sequence[FaultClass],
        weighing: Weighing,
        tables: Sequence[Table[Observation]],
        faults: Sequence[Fault],
        apart: Sequence[Sequence[Table[Observation]]],
    ) -> None:
        self.classes = classes
        self.tables = tables
        self.apart = apart
        self.odds = weighing.odds[: len(faults)]
        rows = [as_weighed(c.members[0], weighing.together) for c in classes]
        self.first = np.array([its[0] for its in rows], dtype=np.intp)
        self.second = np.array([its[1] if len(its) > 1 else -1 for its in rows], dtype=np.intp)
        said = [self._said(table) for table in tables]
        self.said = np.stack(said) if said else np.zeros((0, len(classes)))
        self.said_apart = [[self._said(table) for table in alone] for alone in apart]
        self.subjects = [
            frozenset(about for n in c.members[0] for about in (faults[n].about, *faults[n].wakes)) for c in classes
        ]
        self.fault_subjects = [frozenset((fault.about, *fault.wakes)) for fault in faults]
        told = told_as(faults)
        self.parts = [frozenset(told[n] for n in c.members[0]) for c in classes]
        self.parts_of_all = [frozenset(told[n] for member in c.members for n in member) for c in classes]

    def _said(self, table: Table[Observation]) -> Array:
        """What one table says about each explanation, in decibans."""
        second = np.where(self.second < 0, 0, table.columns[self.second])
        return np.asarray(NATS_TO_DECIBANS * table.log_chance[table.columns[self.first], second])

    def _said_of(self, table: Table[Observation], number: int) -> float:
        """What one table says about one explanation, in decibans."""
        first, second = int(self.first[number]), int(self.second[number])
        column = table.columns[second] if second >= 0 else 0
        return float(NATS_TO_DECIBANS * table.log_chance[table.columns[first], column])

    @cached_property
    def _by_reading(self) -> Array:
        """What each table says, a reading and how it stands to printed figures taken together."""
        of_place = {
            label.place: n
            for n, table in enumerate(self.tables)
            for label in table.labels
            if isinstance(label, Segment)
        }
        found = self.said.copy()
        for n, table in enumerate(self.tables):
            label = table.labels[0]
            if isinstance(label, FigureAt | AllThatFlows | TooLittleOnTheWay) and label.place in of_place:
                found[of_place[label.place]] += found[n]
                found[n] = 0.0
        return found

    def of(self, number: int) -> Argument:
        """All lines for an explanation against its best rival."""
        rival = self._rival(number)
        if rival is None:
            return Argument(None, ())
        lines = self._against(number, rival)
        mine, other = self.classes[number].probability, self.classes[rival].probability
        prior = decibans(mine / other) - sum(line.decibans for line in lines) if mine > 0.0 and other > 0.0 else 0.0
        return Argument(self.classes[rival], (*lines, ReasonLine(Unseen.BEFORE, round(prior, 2))))

    def for_the_place(self, number: int) -> tuple[ReasonLine, ...]:
        """What each observation says for the place of an explanation at all: against an even chance that nothing is
        wrong or that it is something else, each weighed as before anything was read."""
        # Many faults have the same subjects: each set of subjects is compared once.
        same = np.array([bool(its & self.subjects[number]) for its in self._subject_sets[0]], dtype=bool)
        elsewhere = np.where(same[self._subject_sets[1]], 0.0, self.odds)
        in_all = float(elsewhere.sum())
        shares = elsewhere / in_all if in_all > 0.0 else elsewhere
        found: list[ReasonLine] = []
        for n, table in enumerate(self.tables):
            for one in self.apart[n] or (table,):
                alone = np.exp(one.log_chance[:, 0])
                others = float(shares @ alone[one.columns[: len(self.odds)]])
                against = 0.5 * (alone[0] + others) if in_all > 0.0 else alone[0]
                weight = float(self._said_of(one, number) - NATS_TO_DECIBANS * np.log(against))
                found.append(ReasonLine(one.labels[0], round(weight, 2)))
        return tuple(found)

    @cached_property
    def _subject_sets(self) -> tuple[tuple[frozenset[str], ...], NDArray[np.intp]]:
        """The sets of subjects that differ, and for each fault which of them is its own."""
        its_set: dict[frozenset[str], int] = {}
        set_of = np.array([its_set.setdefault(its, len(its_set)) for its in self.fault_subjects], dtype=np.intp)
        return tuple(its_set), set_of

    def beaten(self, number: int) -> tuple[Beaten, ...]:
        """The nearest rivals about the same place that some observation tells from it; if there is none, the best
        rival about something else. A part is named once."""
        mine = self.classes[number]
        if mine.probability <= 0.0 or not len(self.said):
            return ()
        tells = (self.said[:, [number]] - self.said).max(axis=0)
        most_told = (self._by_reading[:, [number]] - self._by_reading).max(axis=0)
        telling = [
            (n, self.classes[n])
            for n in np.flatnonzero(tells >= DECIDES_DECIBANS).tolist()
            if n != number and len(self.classes[n].kinds) == len(mine.kinds) and self.classes[n].probability > 0.0
        ]
        # A part is out only if nothing else that could be wrong with it is left.
        left = [n for n in range(len(self.classes)) if tells[n] < DECIDES_DECIBANS]
        alive = {part for n in left for part in self.parts_of_all[n] if self.classes[n].probability >= ALIVE}
        telling = [(n, rival) for n, rival in telling if not self.parts[n] & alive]
        for same_place in (True, False):
            near: list[tuple[float, int]] = []
            for n, rival in telling:
                about_the_same = bool(self.subjects[n] & self.subjects[number])
                if about_the_same != same_place or self.parts[n] & self.parts[number]:
                    continue
                without_it = decibans(rival.probability / mine.probability) + float(most_told[n])
                if without_it >= -NEAR_DECIBANS:
                    near.append((without_it, n))
            near.sort(key=lambda pair: (-round(pair[0], 6), pair[1]))
            if near:
                by_part: dict[frozenset[str], int] = {}
                for _, n in near:
                    by_part.setdefault(self.parts[n], n)
                chosen = list(by_part.values())[: MOST_BEATEN if same_place else 1]
                return tuple(Beaten(self.classes[n], self._against(number, n)) for n in chosen)
        return ()

    def level_with(self, number: int) -> tuple[FaultClass, ...]:
        """The likely explanations by another part that no observation tells from it: only how common each is puts one
        before another."""
        mine = self.classes[number]
        if not len(self.said):
            return ()
        apart = np.abs(self.said - self.said[:, [number]]).max(axis=0)
        return tuple(
            rival
            for n, rival in enumerate(self.classes)
            if n != number
            and apart[n] < DECIDES_DECIBANS
            and rival.probability >= RIVAL_FROM * mine.probability
            and len(rival.kinds) == len(mine.kinds)
            and not self.parts[n] & self.parts[number]
        )

    def _against(self, number: int, rival: int) -> tuple[ReasonLine, ...]:
        lines = []
        each_said = (self.said[:, number] - self.said[:, rival]).tolist()
        for n, (table, said) in enumerate(zip(self.tables, each_said, strict=True)):
            for one, own_said in zip(self.apart[n], self.said_apart[n], strict=True):
                own = float(own_said[number] - own_said[rival])
                lines.append(ReasonLine(one.labels[0], round(own, 2)))
                said -= own
            label = Unseen.ONE_ZERO if self.apart[n] else table.labels[0]
            lines.append(ReasonLine(label, round(said, 2)))
        return tuple(lines)

    def _rival(self, number: int) -> int | None:
        """The likeliest explanation that is about something else and that some reading clearly tells from it; if there
        is none, the likeliest one that some reading tells from it at all; failing that, the likeliest other one."""
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
