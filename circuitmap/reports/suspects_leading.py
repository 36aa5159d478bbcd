"""Which explanation leads the answer."""

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Row, Subject

LIKELY = 0.5
"""Below this nothing is called the answer."""


def row_of_answer(diagnosis: Diagnosis) -> Row | None:
    """The explanation that the answer's first part stands in."""
    if not diagnosis.subjects or not diagnosis.rows:
        return None
    if is_two(diagnosis):
        return diagnosis.rows[0]
    return row_of(diagnosis, diagnosis.subjects[0]) or diagnosis.rows[0]


def row_of(diagnosis: Diagnosis, subject: Subject) -> Row | None:
    """The explanation by a single fault that a subject's first part stands in."""
    identities = {fault.identity for fault in first_part(subject).faults if fault.about == subject.about}
    for row in diagnosis.rows:
        if len(row.explanation.kinds) == 1 and any(member[0].identity in identities for member in row.faults):
            return row
    return None


def first_part(subject: Subject) -> PartChance:
    return subject.parts[0]


def is_two(diagnosis: Diagnosis) -> bool:
    """Two faults at once are the answer."""
    top = diagnosis.rows[0].explanation if diagnosis.rows else None
    return diagnosis.two_faults >= LIKELY and top is not None and len(top.kinds) > 1


def tied_for_first(subject: Subject) -> list[PartChance]:
    """The parts of a subject that nothing puts behind the first."""
    return [part for part in subject.parts if part.probability >= 0.98 * subject.parts[0].probability]
