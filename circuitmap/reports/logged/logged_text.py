"""A night's log as text."""

from collections.abc import Sequence

from circuitmap.recording.flat import TimeToFlat
from circuitmap.recording.night import Night
from circuitmap.recording.recorded import Recording
from circuitmap.recording.zero import ClampZero
from circuitmap.reports.logged.night_text import (
    cannot_sentences,
    enough_sentences,
    event_sentences,
    night_sentences,
)
from circuitmap.reports.logged.took_text import (
    asked_sentences,
    head_sentence,
    remark_sentences,
    taken_sentences,
)
from circuitmap.reports.words.paragraphs import as_text, section, wrapped


def logged_text(
    name: str,
    recording: Recording,
    night: Night | None,
    zero: ClampZero,
    flat: TimeToFlat | None,
    whose: Sequence[str] = (),
) -> str:
    """What the file holds, what is asked or the night, and how the file was read. `whose`: whose each event may be."""
    blocks = [wrapped(head_sentence(name, recording)), section("SAY FIRST", asked_sentences(recording.asked))]
    if night is not None:
        blocks += [
            section("NIGHT", night_sentences(recording, night, zero)),
            section("EVENTS", event_sentences(recording, night)),
            section("WHOSE", whose),
            section("ENOUGH", enough_sentences(recording, night, zero, flat)),
            section("NOT KNOWN", cannot_sentences(recording, night)),
        ]
    blocks += [
        section("READ AS", taken_sentences(recording)),
        section("BESIDES", remark_sentences(recording, zero.read > 0)),
    ]
    return as_text(*blocks)
