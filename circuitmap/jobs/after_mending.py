"""Whether it is repaired: what was read after mending, at the battery, with everything in."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.against_limit import Against, against_limit
from circuitmap.wiring.platform import Platform

NIGHT_MINUTES = 8 * 60.0
"""How long a log must be to count as a night's (judgement)."""

Outcome = Literal["repaired", "not-repaired", "cannot-tell", "not-shown"]

Why = Literal["", "no-log", "short", "still-out", "elsewhere", "charging", "woken"]
"""Why it is not shown: no log, or one that is `short` of a night, made while a part was out, at a place where the draw
was not, while the battery was charged, or of a vehicle that was open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterMending:
    """`reading` is the one that decides, the latest of those that say anything; None while there is none."""

    outcome: Outcome
    reading: Reading | None = None
    why: Why = ""


NOTHING_YET = AfterMending(outcome="not-shown", why="no-log")


def seen_after_mending(
    platform: Platform, readings: Iterable[Reading], drew: frozenset[str], limit: float
) -> AfterMending:
    """Judge the readings made after mending, in their order: the latest that says anything counts.

    A night's log in the limit shows a repair. Any reading of the sleeping vehicle above it shows that there is none,
    until a log takes it back. `drew` are the places at which the draw was read before; `limit` in A.
    """
    found = NOTHING_YET
    for reading in readings:
        found = _after(platform, found, reading, drew, limit)
    return found


def _after(
    platform: Platform, found: AfterMending, reading: Reading, drew: frozenset[str], limit: float
) -> AfterMending:
    shown = against_limit(reading, limit)
    minutes = reading.log.duration or 0.0 if reading.log is not None else 0.0
    whole_night = minutes >= NIGHT_MINUTES
    if battery_read_at(platform, reading.place) and shown == "above":
        if reading.speaks == "parked":
            return AfterMending(outcome="not-repaired", reading=reading)
        return AfterMending(outcome="not-shown", reading=reading, why="woken") if whole_night else found
    if not whole_night:
        return _little_said(found, reading, shown)
    why = _why_not(reading, shown, drew)
    if why:
        return AfterMending(outcome="not-shown", reading=reading, why=why)
    return AfterMending(outcome="cannot-tell" if shown == "cannot-tell" else "repaired", reading=reading)


def _why_not(reading: Reading, shown: Against, drew: frozenset[str]) -> Why:
    if reading.place not in drew:
        return "elsewhere"
    if reading.without:
        return "still-out"
    return "charging" if shown == "charging" else ""


def _little_said(found: AfterMending, reading: Reading, shown: Against) -> AfterMending:
    """A reading in the limit, or a short log, is no proof; it only takes back a single reading above the limit."""
    was = found.reading
    taken_back = (
        found.outcome == "not-repaired" and was is not None and was.log is None and was.place == reading.place
        and shown == "within" and not reading.without and reading.speaks == "parked"
    )  # fmt: skip
    if not taken_back and found != NOTHING_YET:
        return found
    return AfterMending(outcome="not-shown", reading=reading, why="short") if reading.log is not None else NOTHING_YET
