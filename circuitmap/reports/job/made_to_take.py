"""A part with which a share of the draw went, where what is at fault is something else that makes it take that."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.suspects.fault_words import short_part_words
from circuitmap.reports.suspects.leading import row_of_answer
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Load

MOST_ITSELF = 0.05
"""Probability that a part is itself at fault from which on it is still to be proven (judgement)."""


def made_to_take_by(diagnosis: Diagnosis, one: TryVerdict | None) -> str:
    """By what the leading explanation says the part that was out is made to take its current; empty where it may be
    at fault itself, or where that explanation does not account for it."""
    if one is None or one.verdict != "involved" or one.turned or len(one.out) != 1 or one.failed:
        return ""
    (name,) = one.out
    platform = diagnosis.hands_off.platform
    chance = next((part.probability for part in diagnosis.parts if part.part == name), 0.0)
    row = row_of_answer(diagnosis)
    if row is None or chance >= MOST_ITSELF or not isinstance(platform.parts.get(name), Load):
        return ""
    makers = [fault.part for fault in row.faults[0] if fault.part != name and name in fault.owners]
    return joined([short_part_words(platform, maker) for maker in dict.fromkeys(makers)])


def only_takes_sentence(name: str, maker: str) -> str:
    """What stands in the place of its proof."""
    return (
        f"Nothing more at {name}: as the readings stand it only takes what {maker} makes it take. What leads below is "
        f"proven first; if that is cleared, {name} is proven here."
    )
