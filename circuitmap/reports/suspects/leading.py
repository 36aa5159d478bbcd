"""Which explanation leads the answer."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Row, Subject
from circuitmap.diagnosis.faults.told_as import told_as
from circuitmap.diagnosis.next_test.planned import LEAST_TOLD

LIKELY = 0.5
"""Below this nothing is called the answer."""
WHICH_TWO = 0.3
"""Probability of two subjects at once from which on they are the answer (judgement)."""
SURE = 0.9
"""From this probability on the answer is stated outright."""
LEVEL = 0.6
"""Anything with at least this share of the likeliest's probability is level with it (judgement)."""
TOLD_FROM = 0.02
"""Probability from which on something is told as what it may be, too."""
FAR = 0.1
"""A rival below this share of the answer's probability is told as ruled out."""
TELLS_APART = 0.75
"""If a part has this probability after an outcome, that outcome tells it from others."""


def row_of_answer(diagnosis: Diagnosis) -> Row | None:
    """The explanation to which the answer's first part belongs."""
    if not diagnosis.subjects or not diagnosis.rows:
        return None
    if is_two(diagnosis):
        return diagnosis.rows[0]
    return row_of(diagnosis, diagnosis.subjects[0]) or diagnosis.rows[0]


def row_of(diagnosis: Diagnosis, subject: Subject) -> Row | None:
    """The explanation by a single fault to which a subject's first part belongs."""
    identities = {fault.identity for fault in first_part(subject).faults if fault.about == subject.about}
    for row in diagnosis.rows:
        if len(row.explanation.kinds) == 1 and any(member[0].identity in identities for member in row.faults):
            return row
    return None


def is_open(diagnosis: Diagnosis) -> bool:
    """Whether nothing is called the answer yet: nothing is likely enough, or it hangs on what was not said about the
    car."""
    return diagnosis.subjects[0].probability < LIKELY or bool(diagnosis.worlds)


def first_part(subject: Subject) -> PartChance:
    return subject.parts[0]


def is_two(diagnosis: Diagnosis) -> bool:
    """Whether the answer is two faults at once."""
    top = diagnosis.rows[0].explanation if diagnosis.rows else None
    if diagnosis.two_faults < LIKELY or top is None or len(top.kinds) < 2:
        return False
    return diagnosis.two_faults * sum(two.probability for two in diagnosis.if_two[:1]) >= WHICH_TWO


def may_be_tried(diagnosis: Diagnosis, part: str) -> bool:
    """Whether anybody may take a part out, or free a wire, to prove that it is the one. Anything that is not a part of
    the platform (wiring behind a fuse, a control wire, what somebody fitted) is judged by where it is."""
    faults = next((its.faults for its in diagnosis.parts if its.part == part), ())
    known = diagnosis.hands_off.platform.parts
    if part in known or not faults:
        return diagnosis.hands_off.may_touch(part)
    places = {name for f in faults for name in (f.about, f.place, f.contact.rpartition(".")[0], *f.others)}
    places = {name for name in places if name in known}
    return all(diagnosis.hands_off.may_touch(name) for name in places if known[name].kind != "battery")


def tied_for_first(subject: Subject) -> list[PartChance]:
    """The parts of a subject that nothing ranks behind the first."""
    return [part for part in subject.parts if part.probability >= 0.98 * subject.parts[0].probability]


def beside_the_first(diagnosis: Diagnosis) -> list[PartChance]:
    """Other parts, nearly as likely, that no reading tells from the first one."""
    row = row_of_answer(diagnosis)
    if row is None or is_two(diagnosis):
        return []
    known = {part.part: part for part in diagnosis.parts}
    tied = {part.part for part in tied_for_first(diagnosis.subjects[0])}
    told = told_as(diagnosis.faults)
    names = [told[n] for rival in row.level_with for n in rival.members[0]]
    return [known[name] for name in dict.fromkeys(names) if name in known and name not in tied]


def telling_apart(diagnosis: Diagnosis, parts: Sequence[PartChance]) -> int:
    """The number, from 1, of the next test with an outcome that singles out one of these parts, or, a look, that more
    likely than not shows it; 0 where there is none."""
    names = {part.part for part in parts}
    for number, test in enumerate(diagnosis.tests.choices, start=1):
        if any(b.part in names and b.then >= TELLS_APART for b in test.branches if b.probability >= LEAST_TOLD):
            return number
        shows = any(fault.part in names for fault in test.look_for)
        if shows and any(b.outcome == "found" and b.probability >= LIKELY for b in test.branches):
            return number
    return 0


def level_subjects(diagnosis: Diagnosis) -> list[Subject]:
    """What else the case may nearly as well be about."""
    first, *others = diagnosis.subjects
    return [its for its in others if its.probability >= LEVEL * first.probability]
