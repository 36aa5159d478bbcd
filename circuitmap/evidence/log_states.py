"""A draw that comes and goes has two states, the floor and the event, and a mean over both. What a meter shows in one
of them is not the draw: only the log is."""

from collections.abc import Iterable

from circuitmap.evidence.readings import Reading


def is_of_one_state(reading: Reading, latest: Reading | None) -> bool:
    """Whether a reading was made, as somebody said, in one of the two states that a log shows of its place; `latest` is
    what was read there last."""
    if not reading.during or reading.log is not None or latest is None or latest.log is None:
        return False
    return latest.log.comes_and_goes


def without_single_states(readings: Iterable[Reading]) -> list[Reading]:
    """Readings of one battery in their order, without those made in one state of what a log above them shows."""
    kept: list[Reading] = []
    for reading in readings:
        if not is_of_one_state(reading, kept[-1] if kept else None):
            kept.append(reading)
    return kept
