"""The answer while nothing is the answer yet: what was seen, what to say about the car first, what leads so far."""

from circuitmap.diagnosis.diagnosis import Diagnosis, Subject
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.asked import asked_lines
from circuitmap.reports.suspects.count import between_sentences, seen_so_far
from circuitmap.reports.suspects.fault_words import subject_name
from circuitmap.reports.suspects.leading import LEVEL, row_of
from circuitmap.reports.suspects.next_test import step_words, time_words
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import section, wrapped
from circuitmap.wiring.platform import Platform

BEHIND = 0.3
"""Anything with at least this share of the likeliest's probability is told after it."""
MOST = 6


def open_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Too early: why, and what leads so far."""
    top = diagnosis.subjects[0]
    level = level_with_the_first(diagnosis)
    behind = [s for s in diagnosis.subjects[len(level) : MOST] if s.probability >= BEHIND * top.probability]
    return [
        *wrapped(_headline(platform, diagnosis, len(level)), width=width),
        *section("SO FAR", [seen_so_far(diagnosis), *between_sentences(platform, diagnosis)], width),
        *asked_lines(platform, diagnosis, width),
        *section("AHEAD", [_ahead(platform, diagnosis, level, behind)] if not diagnosis.worlds else [], width),
    ]


def level_with_the_first(diagnosis: Diagnosis) -> list[Subject]:
    """The likeliest subject, and those that are nearly as likely."""
    return [s for s in diagnosis.subjects if s.probability >= LEVEL * diagnosis.subjects[0].probability]


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


def _ahead(platform: Platform, diagnosis: Diagnosis, level: list[Subject], behind: list[Subject]) -> str:
    shown = [_told(platform, diagnosis, subject) for subject in level[:MOST]]
    more = [f"{len(level) - MOST} more"] if len(level) > MOST else []
    told = "; ".join(_told(platform, diagnosis, subject) for subject in behind)
    after = f"; less likely {told}" if told else ""
    return f"{'; '.join([*shown, *more])}{after}."


def _told(platform: Platform, diagnosis: Diagnosis, subject: Subject) -> str:
    """A subject by name and description, how likely it is, and `explains 0.80 A of 1.60 A` where that is so."""
    row = row_of(diagnosis, subject)
    short = row.partly[0] if row is not None and row.partly else None
    partly = f"; explains {ampere(short.explained)} of {ampere(short.amps)}" if short is not None else ""
    return f"{subject_name(platform, subject)} ({chance(subject.probability)}{partly})"
