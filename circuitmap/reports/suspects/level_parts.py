"""Parts that are level with the first one: which they are, and the step that tells them apart."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.candidates import AnswerRow, named_by
from circuitmap.reports.suspects.fault_words import network_words, short_part_words, with_colour
from circuitmap.reports.suspects.leading import (
    beside_the_first,
    first_part,
    level_subjects,
    telling_apart,
    tied_for_first,
)
from circuitmap.reports.suspects.next_test import time_words
from circuitmap.reports.words.paragraphs import NUMBERS, section, shortened, shortened_or
from circuitmap.wiring.platform import Platform

MOST_NAMED = 4


def level_lines(platform: Platform, diagnosis: Diagnosis, within: Sequence[AnswerRow], width: int) -> list[str]:
    """Where several are level: which, by their place among the rows `within` the subject where they are the first ones,
    and the number of the step that tells them apart, and how long it takes."""
    beside = beside_the_first(diagnosis)
    tied = tied_for_first(diagnosis.subjects[0])
    alike = [*tied, *beside] if beside or len(tied) > 1 else []
    subjects = level_subjects(diagnosis)
    if not (alike or subjects):
        return []
    names = [with_colour(short_part_words(platform, part.part), part.faults[0]) for part in alike]
    if not alike:
        about = [its.about for its in (diagnosis.subjects[0], *subjects)]
        names = [network_words(platform, n) if n in platform.networks else short_part_words(platform, n) for n in about]
    names = list(dict.fromkeys(names))
    which = shortened(names, MOST_NAMED) if alike else shortened_or(names, MOST_NAMED)
    if alike and named_by(within[: len(alike)]) == {part.part for part in alike}:
        which = f"the first {NUMBERS.get(len(alike), len(alike))}"
    says = f"{which}, alike by all that was read." if alike else f"{which}."
    step = telling_apart(diagnosis, [*beside, *tied, *(first_part(its) for its in subjects)])
    if not step or diagnosis.tests.mend:
        return section("ALIKE", [f"{which}, by all that was read."], width) if alike else []
    return section("TELL BY", [f"NEXT {step} ({time_words(diagnosis.tests.choices[step - 1].action)}): {says}"], width)
