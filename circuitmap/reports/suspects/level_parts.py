"""Parts that are level with the first one: which they are, and the step that tells them apart."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.fault_words import part_and_how, subject_name
from circuitmap.reports.suspects.leading import (
    beside_the_first,
    first_part,
    level_subjects,
    telling_apart,
    tied_for_first,
)
from circuitmap.reports.suspects.next_test import step_words, time_words
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import section
from circuitmap.wiring.platform import Platform

MOST_BESIDE = 3


def tell_by_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Where several are level: the step that tells them apart, and how long it takes."""
    beside = beside_the_first(diagnosis)
    tied = tied_for_first(diagnosis.subjects[0])
    if diagnosis.tests.mend or not (beside or len(tied) > 1 or level_subjects(diagnosis)):
        return []
    step = telling_apart(diagnosis, [*beside, *tied, *(first_part(its) for its in level_subjects(diagnosis))])
    if not step:
        return []
    action = diagnosis.tests.choices[step - 1].action
    return section("TELL BY", [f"NEXT {step}, {time_words(action)}: {step_words(platform, diagnosis, action)}"], width)


def or_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What stands level with the first part."""
    beside = beside_the_first(diagnosis)
    shown = [f"{part_and_how(platform, part)} ({chance(part.probability)})" for part in beside[:MOST_BESIDE]]
    more = [f"{len(beside) - MOST_BESIDE} more"] if len(beside) > MOST_BESIDE else []
    said = [f"{'; '.join([*shown, *more])}. Nothing read so far tells them apart."] if beside else []
    names = {part.part for part in beside}
    level = [its for its in level_subjects(diagnosis) if its.about not in names]
    told = [f"{subject_name(platform, its)} ({chance(its.probability)})" for its in level[:MOST_BESIDE]]
    return section("OR", [*said, *([f"{'; '.join(told)}."] if told else [])], width)
