"""Why an explanation stands where it stands: what each observation says for it against its best rival."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from circuitmap.diagnosis.classes import SAME_WITHIN, FaultClass
from circuitmap.diagnosis.decibans import NATS_TO_DECIBANS, decibans
from circuitmap.diagnosis.faults import Fault
from circuitmap.diagnosis.observing import Seen
from circuitmap.diagnosis.tables import Table
from circuitmap.diagnosis.weighing import Weighing

BEFORE_ANY_READING = Seen("before", "", "before any reading")
ONE_ZERO = "zero"
TELLS = 1.0
"""Decibans from which on a reading is shown as saying anything."""


@dataclass(frozen=True, slots=True)
class Line:
    """What one observation says, in decibans; positive speaks for the explanation."""

    about: Hashable
    decibans: float


@dataclass(frozen=True, slots=True)
class Argument:
    """All lines against the best rival; they add up to `total`, to the last digit shown."""

    rival: FaultClass | None
    lines: tuple[Line, ...]

    @property
    def total(self) -> float:
        return round(sum(line.decibans for line in self.lines), 2)


def argument_for(
    explanation: FaultClass,
    classes: Sequence[FaultClass],
    weighing: Weighing,
    faults: Sequence[Fault],
    apart: Sequence[Sequence[Table]],
) -> Argument:
    """The case for an explanation. `apart` are, for each table of the weighing that speaks of several readings, the
    tables of those readings each by itself; empty for the others."""
    rival = _rival(explanation, classes, weighing, faults)
    if rival is None:
        return Argument(None, ())
    lines = []
    for table, alone in zip(weighing.tables, apart, strict=True):
        said = _says(table, weighing, explanation, rival)
        for one in alone:
            own = _says(one, weighing, explanation, rival)
            lines.append(Line(one.labels[0], round(own, 2)))
            said -= own
        if alone:
            lines.append(Line(Seen(ONE_ZERO, "", ""), round(said, 2)))
        else:
            lines.append(Line(table.labels[0], round(said, 2)))
    in_all = decibans(explanation.probability / rival.probability) if rival.probability > 0.0 else 0.0
    prior = in_all - sum(line.decibans for line in lines)
    return Argument(rival, (*lines, Line(BEFORE_ANY_READING, round(prior, 2))))


def _rival(
    explanation: FaultClass, classes: Sequence[FaultClass], weighing: Weighing, faults: Sequence[Fault]
) -> FaultClass | None:
    """The likeliest explanation that is about something else and that some reading really tells from it; if there is
    none, any that some reading tells from it at all; else the likeliest other one."""
    others = [c for c in classes if c is not explanation and c.probability > 0.0]
    elsewhere = [c for c in others if not _shares_subject(explanation, c, faults)]
    for least, rivals in ((TELLS, elsewhere), (SAME_WITHIN, elsewhere), (SAME_WITHIN, others)):
        for other in rivals:
            if any(abs(_says(table, weighing, explanation, other)) > least for table in weighing.tables):
                return other
    return others[0] if others else None


def _shares_subject(one: FaultClass, other: FaultClass, faults: Sequence[Fault]) -> bool:
    """Whether two explanations have a subject, or a network kept awake, in common."""
    ours, theirs = (
        {about for n in c.members[0] for about in (faults[n].about, *faults[n].wakes)} for c in (one, other)
    )
    return bool(ours & theirs)


def _says(table: Table, weighing: Weighing, one: FaultClass, other: FaultClass) -> float:
    return NATS_TO_DECIBANS * (_log_chance(table, one) - _log_chance(table, other))


def _log_chance(table: Table, explanation: FaultClass) -> float:
    columns = [int(table.columns[fault]) for fault in explanation.members[0]]
    first, second = columns[0], columns[1] if len(columns) > 1 else 0
    return float(table.log_chance[first, second])
