"""What two people read at one place, further apart than their meters: it is read again, and until then said aloud."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.choosing_readings import Disagreement
from circuitmap.reports.words.cautions import caution_lines, cautions_at
from circuitmap.reports.words.hands_off_words import hands_off_sentence
from circuitmap.reports.words.paragraphs import section
from circuitmap.wiring.platform import Platform


def disagreement_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Each such place, with what to take care of; nobody is sent to what is hands-off."""
    lines: list[str] = []
    for two in diagnosis.netted.disagreed:
        place = two.later.place
        lines += section("READ AGAIN", [f"{said} {_what_now(diagnosis, place)}" for said in _said(two)], width)
        if diagnosis.hands_off.may_clamp(place):
            lines += caution_lines(cautions_at(platform, "read-again", [place]), width)
    return lines


def _said(two: Disagreement) -> Iterator[str]:
    first, then = (f"{reading.by} {_shown(reading.written)}" for reading in two)
    yield f"{two.later.place}: {first}, then {then}, further apart than the meters."


def _shown(written: str) -> str:
    """The amount of `F22 1.6mV`."""
    return written.rpartition(" ")[2]


def _what_now(diagnosis: Diagnosis, place: str) -> str:
    if not diagnosis.hands_off.may_clamp(place):
        return hands_off_sentence(diagnosis.hands_off, [place])
    return "Until somebody has read it again, the later one counts."
