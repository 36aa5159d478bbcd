"""A part with which a share of the draw went, where what is at fault is something else that makes it take that."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.fault_words import MOST_ITSELF, short_part_words
from circuitmap.reports.suspects.leading import row_of_answer
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Load, Relay


def made_to_take_by(diagnosis: Diagnosis, name: str) -> str:
    """By what the leading explanation says a part is made to take its current, a relay that of its coil;
    empty where it may be at fault itself, or where that explanation does not account for it."""
    platform = diagnosis.hands_off.platform
    chance = next((part.probability for part in diagnosis.parts if part.part == name), 0.0)
    row = row_of_answer(diagnosis)
    if row is None or chance >= MOST_ITSELF or not isinstance(platform.parts.get(name), Load | Relay):
        return ""
    makers = [fault.part for fault in row.faults[0] if fault.part != name and name in fault.owners]
    return joined([short_part_words(platform, maker) for maker in dict.fromkeys(makers)])
