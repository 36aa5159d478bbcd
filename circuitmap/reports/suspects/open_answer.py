"""The answer while nothing is the answer yet: what was seen, what to say about the car first, what leads so far."""

from circuitmap.diagnosis.diagnosis import Diagnosis, Subject
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.asked import asked_lines
from circuitmap.reports.suspects.candidates import AnswerRow
from circuitmap.reports.suspects.count import between_sentences, seen_so_far
from circuitmap.reports.suspects.fault_words import is_a_fuse_too_many, output_words, short_part_words, subject_name
from circuitmap.reports.suspects.leading import LEVEL, row_of
from circuitmap.reports.suspects.next_test import step_words, time_words
from circuitmap.reports.words.paragraphs import section, wrapped
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

BEHIND = 0.3
"""Anything with at least this share of the likeliest's probability is told after it."""
MOST = 6
NAMED_FROM, MOST_NAMED = 0.02, 6
"""Of what is not ahead that much is named, and not more of it (judgement)."""


def open_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Too early: why, and what was seen."""
    return [
        *wrapped(_headline(platform, diagnosis, len(level_with_the_first(diagnosis))), width=width),
        *section("SO FAR", [seen_so_far(diagnosis), *between_sentences(platform, diagnosis)], width),
        *asked_lines(platform, diagnosis, width),
    ]


def ahead_rows(platform: Platform, diagnosis: Diagnosis) -> list[AnswerRow]:
    """What leads so far: those that are level, and those that are not much less likely. None while it hangs on what was
    not said of the car, which tells it way by way."""
    if diagnosis.worlds:
        return []
    level, behind = level_with_the_first(diagnosis), _behind_them(diagnosis)
    rows = [_row(platform, diagnosis, subject) for subject in level[:MOST]]
    if more := level[MOST:]:
        rows.append(AnswerRow(more[0].probability, f"each of {len(more)} more"))
    return rows + [_row(platform, diagnosis, subject) for subject in behind]


def level_with_the_first(diagnosis: Diagnosis) -> list[Subject]:
    """The likeliest subject, and those that are nearly as likely."""
    return [s for s in diagnosis.subjects if s.probability >= LEVEL * diagnosis.subjects[0].probability]


def _behind_them(diagnosis: Diagnosis) -> list[Subject]:
    """The next subjects that are not much less likely."""
    least = BEHIND * diagnosis.subjects[0].probability
    return [s for s in diagnosis.subjects[len(level_with_the_first(diagnosis)) : MOST] if s.probability >= least]


def not_ahead(platform: Platform, diagnosis: Diagnosis) -> tuple[list[str], float]:
    """The likeliest of what is not told as ahead, parts before fuses, and the probability of all of it."""
    if diagnosis.worlds or not diagnosis.subjects:
        return [], 0.0
    told = [*level_with_the_first(diagnosis)[:MOST], *_behind_them(diagnosis)]
    rest = [s for s in diagnosis.subjects if s not in told]
    named = [s for s in rest if s.probability >= NAMED_FROM][:MOST_NAMED]
    named.sort(key=lambda s: isinstance(platform.parts.get(s.about), Fuse))
    return [_shortly(platform, s) for s in named], max(0.0, 1.0 - sum(s.probability for s in told))


def _shortly(platform: Platform, subject: Subject) -> str:
    is_fuse = isinstance(platform.parts.get(subject.about), Fuse) and not is_a_fuse_too_many(subject)
    return f"what hangs on {subject.about}" if is_fuse else short_part_words(platform, subject.about)


def _headline(platform: Platform, diagnosis: Diagnosis, level: int) -> str:
    if diagnosis.worlds:
        return "TOO EARLY: the answer hangs on what was not said of this car."
    how = f"TOO EARLY: {level} things are level" if level > 1 else "TOO EARLY to be sure"
    if diagnosis.tests.gone:
        return f"{how}, and it is gone for now: make it come back first (NEXT)."
    if not diagnosis.tests.choices:
        return f"{how}. Read more: see NOT KNOWN."
    action = diagnosis.tests.choices[0].action
    return f"{how}. Do NEXT 1, {time_words(action)}: {step_words(platform, diagnosis, action)}"


def _row(platform: Platform, diagnosis: Diagnosis, subject: Subject) -> AnswerRow:
    """A subject by name and description, and `explains 0.80 A of 1.60 A` where that is so."""
    row = row_of(diagnosis, subject)
    short = row.partly[0] if row is not None and row.partly else None
    partly = f"; explains {ampere(short.explained)} of {ampere(short.amps)}" if short is not None else ""
    names = frozenset(part.part for part in subject.parts)
    words = f"{subject_name(platform, subject)}{_how(platform, subject)}{partly}"
    return AnswerRow(subject.probability, words, names)


def _how(platform: Platform, subject: Subject) -> str:
    """By which of its own outputs a part would do it, where it would mostly be by that: a controller that only lets a
    lamp burn is not kept awake."""
    own = next((its for its in subject.parts if its.part == subject.about), None)
    return output_words(platform, own) if own is not None else ""
