"""Parts that are level with the first one: which they are, and the step that tells them apart."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.fault_words import part_words, subject_name
from circuitmap.reports.suspects.leading import beside_the_first, telling_apart, tied_for_first
from circuitmap.reports.suspects.next_test import action_words, time_words
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import section
from circuitmap.wiring.platform import Platform

MOST_BESIDE = 3
LEVEL = 0.6
"""Anything with at least this share of the likeliest's probability is level with it (judgement)."""


def tell_by_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Where several are level: the step that tells them apart, and how long it takes."""
    beside = beside_the_first(diagnosis)
    tied = tied_for_first(diagnosis.subjects[0])
    if diagnosis.tests.mend or not (beside or len(tied) > 1):
        return []
    step = telling_apart(diagnosis, [*beside, *tied])
    if not step:
        return []
    action = diagnosis.tests.choices[step - 1].action
    return section("TELL BY", [f"NEXT {step}, {time_words(action)}: {action_words(platform, action)}"], width)


def or_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What stands level with the first part."""
    beside = beside_the_first(diagnosis)
    if not beside:
        return _level_subjects(platform, diagnosis, width)
    shown = [f"{part_words(platform, part.part)} ({chance(part.probability)})" for part in beside[:MOST_BESIDE]]
    more = [f"{len(beside) - MOST_BESIDE} more"] if len(beside) > MOST_BESIDE else []
    return section("OR", [f"{'; '.join([*shown, *more])}. Nothing read so far tells them apart."], width)


def _level_subjects(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Something else that the case may as well be about."""
    first, *others = diagnosis.subjects
    level = [its for its in others if its.probability >= LEVEL * first.probability]
    told = [f"{subject_name(platform, its)} ({chance(its.probability)})" for its in level[:MOST_BESIDE]]
    return section("OR", [f"{'; '.join(told)}."], width) if told else []
