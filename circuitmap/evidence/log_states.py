"""A draw that comes and goes has two states, the floor and the event, and a mean over both. What a meter shows in one
of them is not the draw: only the log is."""

from collections.abc import Iterable
from dataclasses import replace

from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import During, Reading

NEAR_EVENT, NEAR_FLOOR = 0.2, 0.1
"""A look at the battery shows a log's event, or its floor, within these shares of what the event adds (judgement)."""


def state_shown(reading: Reading, log: Log) -> During:
    """Which of a log's two states a look at the same battery shows: as somebody said, or else by its height."""
    if reading.during or reading.amps is None or reading.log is not None:
        return reading.during
    adds = log.drew - log.floor
    off = reading.half_step + 2.0 * reading.zero
    if abs(reading.amps - log.drew) <= NEAR_EVENT * adds + off:
        return "event"
    return "floor" if abs(reading.amps - log.floor) <= NEAR_FLOOR * adds + off else ""


def is_of_one_state(reading: Reading, latest: Reading | None) -> bool:
    """Whether a reading was made in one of the two states that a log shows of its place; `latest` is what was read
    there last."""
    if reading.log is not None or latest is None or latest.log is None or not latest.log.comes_and_goes:
        return False
    return bool(state_shown(reading, latest.log))


def with_its_state(reading: Reading, latest: Reading | None) -> Reading:
    """The reading with the state of a log in which it was made."""
    if not is_of_one_state(reading, latest):
        return reading
    assert latest is not None and latest.log is not None
    return replace(reading, during=state_shown(reading, latest.log))


def without_single_states(readings: Iterable[Reading]) -> list[Reading]:
    """Readings of one battery in their order, without those made in one state of what a log above them shows."""
    kept: list[Reading] = []
    for reading in readings:
        if not is_of_one_state(reading, kept[-1] if kept else None):
            kept.append(reading)
    return kept


def events_apart(readings: Iterable[Reading]) -> float | None:
    """How many minutes lie from one event to the next, by the latest log with everything in that says so."""
    logs = [r.log for r in readings if r.log is not None and not r.without]
    return next((log.apart for log in reversed(logs) if log.apart is not None), None)
