"""A draw that comes and goes has two states, the floor and the event, and a mean over both. What a meter shows in one
of them is not the draw: only the log is."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import During, Reading

NEAR_EVENT, NEAR_FLOOR = 0.2, 0.1
"""A look at the battery shows a log's event, or its floor, within these shares of what the event adds; a floor that is
itself too much within such a share of itself (judgement)."""


def state_shown(reading: Reading, log: Log) -> During:
    """Which of a log's two states a look at the same battery shows: as somebody said, or else by its height."""
    if reading.during or reading.amps is None or reading.log is not None:
        return reading.during
    if not _has_two(log):
        return ""
    return state_at(reading.amps, reading.half_step + 2.0 * reading.zero, log)


def state_at(amps: float, off: float, log: Log) -> During:
    """Which of a log's two states a current in A is, by its height alone; it may be `off` either way."""
    adds = log.up - log.floor
    if abs(amps - log.up) <= NEAR_EVENT * adds + off:
        return "event"
    near = NEAR_FLOOR * (log.floor if log.floor > (log.limit or 0.0) else adds)
    return "floor" if abs(amps - log.floor) <= near + off else ""


def is_of_one_state(reading: Reading, latest: Reading | None) -> bool:
    """Whether a reading was made in one of the two states that a log shows of its place; `latest` is what was read
    there last."""
    if reading.log is not None or latest is None or latest.log is None:
        return False
    log = latest.log
    return _has_two(log) and bool(state_shown(reading, log))


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


def in_the_same_state(reading: Reading, all_in: Sequence[Reading], logged: Log | None) -> Reading | None:
    """Of what was read at its place with everything in the last look at the state in which a reading was made; `logged`
    is the latest log of the whole current. A reading that says no state is held to the draw that is looked for."""
    at = next((n for n, r in enumerate(all_in) if r.log is not None and r.log is logged), None)
    state = _state_of(reading, logged)
    if logged is None or at is None or not _has_two(logged):
        its = [r for r in all_in if r.during in ("", state)]
        if not its and not reading.during:
            its = list(all_in)
        return its[-1] if its else None
    own = _looked_for(logged)
    for one in reversed(all_in[at + 1 :]):
        if (state_shown(one, logged) or own) == state:
            return one
    if state == own:
        return all_in[at]
    return replace(all_in[at], amps=logged.floor if state == "floor" else logged.up, log=None, during=state)


def is_back_in(back: Reading, gone: Reading, logged: Log | None) -> bool:
    """Whether a look with everything in again is at the state in which something had gone: an event does not show that
    the floor is back, nor the other way round."""
    if logged is None or not _has_two(logged):
        return back.during == gone.during or not (back.during and gone.during)
    return _state_of(back, logged) == _state_of(gone, logged)


def _has_two(log: Log | None) -> bool:
    return log is not None and (log.comes_and_goes or log.floor_draws)


def _looked_for(logged: Log | None) -> During:
    return "floor" if logged is not None and logged.floor_draws else "event"


def _state_of(reading: Reading, logged: Log | None) -> During:
    """The state in which a reading was made; where nobody said, that of the draw, unless it is as high as an event:
    what is low with something out may be low for that."""
    if reading.during or logged is None or not _has_two(logged):
        return reading.during or _looked_for(logged)
    return "event" if state_shown(reading, logged) == "event" else _looked_for(logged)


def tells_of_the_draw(readings: Iterable[Reading]) -> list[Reading]:
    """Readings of a vehicle without those made at the floor of what comes and goes, by the latest log with everything
    in: over a sound floor nothing of what is looked for flows there then, whatever it flows through. A fuse is at the
    floor as somebody said, or as the whole current read along with it was."""
    its = list(readings)
    log = next((r.log for r in reversed(its) if r.log is not None and not r.without), None)
    if log is None or not log.comes_and_goes or log.floor > (log.limit or 0.0):
        return its
    return [r for r in its if r.log is not None or _told_state(r, log) != "floor"]


def _told_state(reading: Reading, log: Log) -> During:
    if reading.during or not reading.given:
        return reading.during
    states = [state_at(one.amps, one.meter.step + 2.0 * one.meter.zero, log) for one in reading.given]
    return "floor" if "floor" in states and "event" not in states else ""


def events_apart(readings: Iterable[Reading]) -> float | None:
    """How many minutes lie from one event to the next, by the latest log with everything in that says so."""
    logs = [r.log for r in readings if r.log is not None and not r.without]
    return next((log.apart for log in reversed(logs) if log.apart is not None), None)


def comes_again_and_again(readings: Iterable[Reading]) -> bool:
    """Whether what is looked for comes and goes over a floor that is sound, by the latest log of the parked vehicle
    with everything in."""
    logs = [r.log for r in readings if r.log is not None and r.speaks == "parked" and not r.without]
    return bool(logs) and logs[-1].comes_and_goes and logs[-1].floor <= (logs[-1].limit or 0.0)
