"""What else it may be, and the probability left for everything that is not named."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Row
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.next_test.added_first import added_and_unread
from circuitmap.reports.suspects.candidates import AnswerRow, likeliest_first, named_by
from circuitmap.reports.suspects.fault_words import part_and_how, short_part_words, subject_name
from circuitmap.reports.suspects.leading import FAR, TOLD_FROM, beside_the_first, is_open, is_two
from circuitmap.reports.suspects.open_answer import not_ahead
from circuitmap.reports.suspects.settled_words import second_thing
from circuitmap.reports.suspects.two_things import the_two
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import WIDTH, joined, section
from circuitmap.wiring.platform import Platform

LEFT_FROM = 0.075
"""What was not named is told, all together, from this probability on."""
MOST = 6
TWO_FROM, MOST_TWO = 0.05, 3
"""Chance of two things from which on it is told which two, and how many pairs (judgement)."""
WORTH_TELLING = 0.1
"""Chance of two subjects, given that there are two, from which on they are told (judgement)."""


def other_rows(platform: Platform, diagnosis: Diagnosis, within: Sequence[AnswerRow]) -> list[AnswerRow]:
    """What it may be besides the rows `within` what leads: first what has at least one in twenty, by what there is to
    mend; then the rest; then two faults at once."""
    two = is_two(diagnosis)
    if is_open(diagnosis) and not two:
        rows, left = _behind_the_level(platform, diagnosis), 0.0
    elif two:
        rows, left = _beside_two(platform, diagnosis), 0.0
    else:
        rows, left = _beside_the_answer(platform, diagnosis, within)
    rows += _fitted_to_it(diagnosis, named_by([*within, *rows]))
    if left >= LEFT_FROM:
        rows.append(AnswerRow(left, "anything else, all together"))
    return rows if two else [*rows, *_two_at_once(platform, diagnosis)]


def _behind_the_level(platform: Platform, diagnosis: Diagnosis) -> list[AnswerRow]:
    """While nothing leads: what has no row of its own, in one."""
    names, unnamed = not_ahead(platform, diagnosis)
    if not names or unnamed < LEFT_FROM:
        return []
    more = f"{', '.join(names)}{' ..' if len(names) >= MOST else ''}"
    return [AnswerRow(unnamed, f"anything else, all together: {more}")]


def _two_at_once(platform: Platform, diagnosis: Diagnosis) -> list[AnswerRow]:
    """That it is two faults, and which two it would be, where that is likely enough or something is left over; nothing
    where it surely is two, which stands with the first line."""
    pairs = _if_two(platform, diagnosis)
    likely = diagnosis.two_faults >= TOLD_FROM and not diagnosis.worlds
    if not (likely or pairs) or any(second_lines(platform, diagnosis, WIDTH)):
        return []
    which = f": {pairs}" if pairs else ""
    return [AnswerRow(diagnosis.two_faults, f"two faults at once, counted above, too{which}")]


def second_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Where it is surely two things, and only the first of them is known: what the other may be."""
    names = second_thing(platform, diagnosis)
    if not names:
        return []
    which = _if_two(platform, diagnosis) or joined(names, "or")
    says = f"a second thing at once ({chance(diagnosis.two_faults)}), not told apart yet: {which}."
    return section("AND", [says], width)


def fitted_and_unread(diagnosis: Diagnosis) -> dict[str, str]:
    """What the card says was fitted to this car and nobody has read yet, each with the place that feeds it."""
    out = {name for one in diagnosis.tried for name in one.attempt.out}
    return added_and_unread(diagnosis.faults, diagnosis.netted.readings, out.__contains__)


def _fitted_to_it(diagnosis: Diagnosis, named: frozenset[str]) -> list[AnswerRow]:
    """Such things, in words: they are on nobody's sheet, so that they are told here or nowhere, however unlikely by the
    readings."""
    chances = {part.part: part.probability for part in diagnosis.parts}
    return [
        AnswerRow(chances.get(name, 0.0), f"{name}, fitted to this car, on {place}: not read yet", frozenset({name}))
        for name, place in fitted_and_unread(diagnosis).items()
        if name not in named
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


def _beside_two(platform: Platform, diagnosis: Diagnosis) -> list[AnswerRow]:
    named = frozenset[str]().union(*(its.names for its in the_two(platform, diagnosis)))
    return [
        _row_of_part(platform, part)
        for part in diagnosis.parts[:MOST]
        if part.part not in named and part.probability >= TOLD_FROM
    ]


def _row_of_part(platform: Platform, part: PartChance) -> AnswerRow:
    return AnswerRow(part.probability, part_and_how(platform, part), frozenset({part.part}))


def _beside_the_answer(
    platform: Platform, diagnosis: Diagnosis, within: Sequence[AnswerRow]
) -> tuple[list[AnswerRow], float]:
    """What is named besides the answer, likeliest first, and the probability that is left."""
    top = diagnosis.subjects[0]
    in_it = {part.part for part in top.parts} | named_by(within)
    alike = [part for part in beside_the_first(diagnosis) if part.part not in in_it]
    rows = [_row_of_part(platform, part) for part in alike]
    left = 1.0 - top.probability - sum(part.probability for part in alike)
    named = in_it | {part.part for part in alike}
    for subject in diagnosis.subjects[1:MOST]:
        if subject.probability < TOLD_FROM or {part.part for part in subject.parts} <= named:
            continue
        own = next((part for part in subject.parts[:1] if part.part == subject.about), None)
        name = subject_name(platform, subject) if own is None else part_and_how(platform, own)
        rows.append(AnswerRow(subject.probability, name, frozenset(part.part for part in subject.parts)))
        left -= subject.probability
    return likeliest_first(rows), left


def _if_two(platform: Platform, diagnosis: Diagnosis) -> str:
    """Which two subjects it would be, if it were two things; empty where that is not worth telling."""
    if diagnosis.two_faults < TWO_FROM and not diagnosis.misfits:
        return ""
    told = [two for two in diagnosis.if_two if two.probability >= WORTH_TELLING and len({*two.about}) > 1][:MOST_TWO]
    if not told:
        return ""
    said = [
        f"{joined([short_part_words(platform, about) for about in dict.fromkeys(two.about)])} "
        f"({chance(two.probability)}{' of that' if n == 0 else ''})"
        for n, two in enumerate(told)
    ]
    misfits = diagnosis.misfits if is_open(diagnosis) else ()  # else what is left over says so
    again = [misfit.segment.place for misfit in misfits if diagnosis.hands_off.may_touch(misfit.segment.place)]
    first = f". Read {joined(again[:2])} again first: a slip looks the same" if again else ""
    return f"{'; '.join(said)}{first}"
