"""What else it may be, and the probability left for everything that is not named."""

from collections.abc import Container, Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Row, Subject
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.faults.told_as import told_as
from circuitmap.diagnosis.next_test.added_first import added_and_unread
from circuitmap.reports.suspects.fault_words import (
    network_words,
    part_and_how,
    short_part_words,
    subject_name,
    with_colour,
)
from circuitmap.reports.suspects.first_member import member_first
from circuitmap.reports.suspects.leading import (
    FAR,
    TOLD_FROM,
    beside_the_first,
    is_open,
    is_two,
    level_subjects,
    tied_for_first,
)
from circuitmap.reports.suspects.open_answer import not_ahead
from circuitmap.reports.suspects.two_things import the_two
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined, section, shortened
from circuitmap.wiring.platform import Platform

LEFT_FROM = 0.075
"""What was not named is told, all together, from this probability on."""
MOST = 6
TWO_FROM, MOST_TWO = 0.05, 3
"""Chance of two things from which on it is told which two, and how many pairs (judgement)."""
WORTH_TELLING = 0.1
"""Chance of two subjects, given that there are two, from which on they are told (judgement)."""


def other_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """First what has at least one in twenty, by what there is to mend; then the rest; then two faults at once."""
    if is_open(diagnosis) and not is_two(diagnosis):
        told, left = [], 0.0
        names, unnamed = not_ahead(platform, diagnosis)
        if names and unnamed >= LEFT_FROM:
            more = ", ".join(names)
            told = [f"anything else ({chance(unnamed)} all together: {more}{' ..' if len(names) >= MOST else ''})"]
    elif is_two(diagnosis):
        told, left = _beside_two(platform, diagnosis), 0.0
    else:
        told, left = _beside_the_answer(platform, diagnosis)
    told += _fitted_to_it(platform, diagnosis, told)
    if left >= LEFT_FROM:
        told.append(f"anything else ({chance(left)} all together)")
    if diagnosis.two_faults >= TOLD_FROM and not is_two(diagnosis) and not diagnosis.worlds:
        told.append(f"two faults at once ({chance(diagnosis.two_faults)}{', counted above, too' if told else ''})")
    return section("OTHERS", ["; ".join(told) + "."], width) if told else []


def fitted_and_unread(diagnosis: Diagnosis) -> dict[str, str]:
    """What the card says was fitted to this car and nobody has read yet, each with the place that feeds it."""
    out = {name for one in diagnosis.tried for name in one.attempt.out}
    return added_and_unread(diagnosis.faults, diagnosis.netted.readings, out.__contains__)


def _fitted_to_it(platform: Platform, diagnosis: Diagnosis, told: Sequence[str]) -> list[str]:
    """Such things, in words: they are on nobody's sheet, so that they are told here or nowhere, however unlikely by the
    readings."""
    unread = fitted_and_unread(diagnosis)
    named = {part.part for part in tied_for_first(diagnosis.subjects[0])} if diagnosis.subjects else set()
    if is_two(diagnosis):
        named = named.union(*(its.names for its in the_two(platform, diagnosis)))
    chances = {part.part: part.probability for part in diagnosis.parts}
    return [
        f"{name}, fitted to this car, on {place}: not read yet ({chance(chances.get(name, 0.0))})"
        for name, place in unread.items()
        if name not in named and not any(one.startswith(name) for one in told)
    ]


def is_out_of_it(diagnosis: Diagnosis, row: Row, rival: FaultClass) -> bool:
    """Whether it may be said that it is not this: it is far behind, and nothing of it is told here as what it may still
    be, but what leads itself."""
    if rival.probability >= FAR * row.probability:
        return False
    leads = {name for fault in row.faults[0] for name in (fault.part, fault.module, fault.about)}
    chances = {part.part: part.probability for part in diagnosis.parts}
    named = {diagnosis.faults[n].part for member in rival.members for n in member} - leads
    return all(chances[part] < TOLD_FROM for part in named)


def _beside_two(platform: Platform, diagnosis: Diagnosis) -> list[str]:
    named = frozenset[str]().union(*(its.names for its in the_two(platform, diagnosis)))
    return [
        f"{part_and_how(platform, part)} ({chance(part.probability)})"
        for part in diagnosis.parts[:MOST]
        if part.part not in named and part.probability >= TOLD_FROM
    ]


def _beside_the_answer(platform: Platform, diagnosis: Diagnosis) -> tuple[list[str], float]:
    """What is named besides the answer, and the probability that is left."""
    top = diagnosis.subjects[0]
    member = member_first(platform, diagnosis, top)
    first = member.named if member is not None else {part.part for part in tied_for_first(top)}
    named_already = {*first, *(part.part for part in beside_the_first(diagnosis))}
    in_it = _told_together(top, named_already)
    told = []
    if top.about in platform.networks:
        rest = sum(part.probability for part in in_it)
        enough = (part for part in in_it if part.probability >= TOLD_FROM)
        names = shortened([with_colour(short_part_words(platform, p.part), p.faults[0]) for p in enough], MOST)
        if rest >= TOLD_FROM and names:
            what = network_words(platform, top.about)
            told.append(f"another part on {what} ({chance(min(rest, top.probability))} all together: {names})")
    else:
        told += [
            f"{part_and_how(platform, part)} ({chance(part.probability)})"
            for part in in_it[: MOST - 1]
            if part.probability >= TOLD_FROM
        ]
    left = 1.0 - top.probability
    for subject in diagnosis.subjects[1:MOST]:
        if subject in level_subjects(diagnosis):
            left -= subject.probability
        elif subject.probability >= TOLD_FROM and not _only_repeats(subject, top, named_already):
            own = next((part for part in subject.parts[:1] if part.part == subject.about), None)
            name = subject_name(platform, subject) if own is None else part_and_how(platform, own)
            told.append(f"{name} ({chance(subject.probability)})")
            left -= subject.probability
    left -= sum(p.probability for p in beside_the_first(diagnosis) if p.part not in {q.part for q in top.parts})
    return told, left


def _told_together(subject: Subject, named: Container[str]) -> list[PartChance]:
    """The parts of a subject that were not named; an unknown current at a place is told with something there on no
    sheet: nobody could look for the one and not for the other."""
    faults = [part.faults[0] for part in subject.parts]
    by_name: dict[str, list[PartChance]] = {}
    for name, part in zip(told_as(faults), subject.parts, strict=True):
        by_name.setdefault(name, []).append(part)
    known = {part.part: part for part in subject.parts}
    return [
        known.get(name, its[0])._replace(probability=min(sum(part.probability for part in its), subject.probability))
        for name, its in by_name.items()
        if not any(part.part in named for part in its)
    ]


def _only_repeats(subject: Subject, top: Subject, named: set[str]) -> bool:
    """Whether everything there is to mend at a subject was told with the first one."""
    return {part.part for part in subject.parts} <= {part.part for part in top.parts} | named


def if_two_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Which two subjects it would be, if it were two things."""
    if is_two(diagnosis) or (diagnosis.two_faults < TWO_FROM and not diagnosis.misfits):
        return []
    told = [two for two in diagnosis.if_two if two.probability >= WORTH_TELLING and len({*two.about}) > 1][:MOST_TWO]
    if not told:
        return []
    said = [
        f"{joined([short_part_words(platform, about) for about in dict.fromkeys(two.about)])} "
        f"({chance(two.probability)}{' of that' if n == 0 else ''})"
        for n, two in enumerate(told)
    ]
    again = [
        misfit.segment.place for misfit in diagnosis.misfits if diagnosis.hands_off.may_touch(misfit.segment.place)
    ]
    first = f" Read {joined(again[:2])} again first: a slip looks the same." if again else ""
    return section("IF TWO", [f"{'; '.join(said)}.{first}"], width)
