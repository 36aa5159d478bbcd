"""What is said below a row of fuses to be read: how it is written down, and what of the box is no part of it."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.reports.words.hands_off_words import left_alone_sentences
from circuitmap.reports.words.paragraphs import in_rows
from circuitmap.wiring.platform import Platform


def row_sentences(platform: Platform, diagnosis: Diagnosis, action: Action) -> Iterator[str]:
    box = platform.box_of(action.parts[0])
    name = box.name if box is not None else "BOX"
    yield f"One line: {name} mV: all 0.0 except .."
    yield from left_alone_sentences(diagnosis.hands_off, action.left_alone, diagnosis.netted.readings)
    dead = dead_left_out(diagnosis, action)
    if dead:
        its = in_rows(fuse.removeprefix(f"{name}.") for fuse in dead)
        yield f"Left out, dead by the sheets while it is parked: {its}."


def dead_left_out(diagnosis: Diagnosis, action: Action) -> tuple[str, ...]:
    """The fuses that are left out of a row because they are dead on a sound parked car, and that nobody read."""
    return tuple(fuse for fuse in action.dead if fuse not in diagnosis.netted.readings)
