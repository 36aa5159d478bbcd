"""How likely what comes and goes had ended by itself when it was seen gone with something out, by how long it is up at
a time and when it was last seen up. What is taken out while it is down says nothing of this: that waits. What keeps
time is due at known minutes: where it did not come although somebody watched, that counts."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import NamedTuple

from circuitmap.evidence.entry_clock import first_day, minute_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.log_states import state_shown
from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import During, Reading
from circuitmap.evidence.rhythm_in_words import said_to_be
from circuitmap.evidence.tries import MISSED_ENOUGH, Try
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.failures import WrongUse
from circuitmap.wiring.platform import Platform

DRIFT = 0.05
"""By such a share of each period that has gone by, what keeps time may be early or late (judgement)."""
LEAST_ENDED = 0.05
"""It ends by itself at another time than the log says in so many cases at the least (judgement)."""


class _Look(NamedTuple):
    """In the entry from `start` on, at `minute` of the card's clock, a log's state was `during`."""

    start: int
    minute: float
    during: During


def with_what_ended_by_itself(platform: Platform, card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence with the chance, for each try made while it was up, that it ended by itself meanwhile."""
    if not evidence.tries:
        return evidence
    minutes = dict(_minutes(card))
    starts = sorted(minutes)
    return replace(
        evidence, tries=tuple(_judged(platform, card, evidence, one, minutes, starts) for one in evidence.tries)
    )


def _judged(
    platform: Platform, card: JobCard, evidence: Evidence, one: Try, minutes: dict[int, float], starts: Sequence[int]
) -> Try:
    log = _log_before(evidence.readings, one.after)
    at = _entry_of(one.after, starts)
    if log is None or at is None:
        return replace(one, ended=None)
    looks = list(_looks(platform, card, evidence.readings, minutes, set(one.out), log))
    up = [look for look in looks if look.during == "event" and look.start < at]
    its = [r for r in evidence.readings if r.place == one.after.place and set(r.without) == set(one.out)]
    entries = [entry for r in its if (entry := _entry_of(r, starts)) is not None and entry <= at]
    seen = [minutes[entry] for entry in entries if up and up[-1].start < entry]
    one = replace(one, ended=_ended(log, looks, up, seen, minutes[at]))
    if log.apart is None or not log.is_due or one.waited is None:
        return one
    taken_out, until = minutes[at] - one.waited, minutes[at]
    phase = _came_between(up, log) if up and log.up_for is not None else None
    read = [minutes[entry] for entry in entries]
    watched = one.after.watched or one.after.log is not None
    missed = due_between(phase, log.apart, taken_out, until, None if watched else read, log.up_for or 0.0)
    second = _second_due(phase, log.apart, taken_out)
    return replace(one, missed=missed, enough=second)


def due_between(
    phase: tuple[float, float] | None, apart: float, start: float, end: float, read: Sequence[float] | None,
    up_for: float,
) -> int:  # fmt: skip
    """How many times what comes every `apart` minutes was due from one minute to another, and would have been seen: at
    one of the minutes at which it was `read`, or at any (None). `phase`: between which minutes it came last; where
    nobody saw that, it was due once in each whole period that went by."""
    most = int((end - start) // apart) if read is None else 0
    if phase is None:
        return most
    due = list(_due(phase, apart, end))
    if read is None:
        return max(most, sum(start <= first and last <= end for first, last in due))
    return sum(any(last <= at <= first + up_for for at in read if at >= start) for first, last in due)


def _due(phase: tuple[float, float], apart: float, end: float) -> Iterator[tuple[float, float]]:
    """Between which minutes it comes, time after time."""
    first, last = phase
    number = 1
    while first + number * apart * (1.0 - DRIFT) <= end and number * DRIFT < 0.5:  # later nobody knows its phase
        yield first + number * apart * (1.0 - DRIFT), last + number * apart * (1.0 + DRIFT)
        number += 1


def _second_due(phase: tuple[float, float] | None, apart: float, start: float) -> float:
    """For how many minutes something is to be out until it was surely due twice."""
    longest = MISSED_ENOUGH * apart
    if phase is None:
        return longest
    ends = [last - start for first, last in _due(phase, apart, start + longest) if first >= start]
    return min(longest, ends[MISSED_ENOUGH - 1]) if len(ends) >= MISSED_ENOUGH else longest


def _came_between(up: Sequence[_Look], log: Log) -> tuple[float, float]:
    """Between which minutes the last event that was seen began."""
    assert log.up_for is not None
    last = up[-1]
    first = next(look for look in up if last.minute - look.minute <= log.up_for)
    return last.minute - log.up_for, first.minute


def _entry_of(reading: Reading, starts: Sequence[int]) -> int | None:
    at = reading.span.start if reading.span is not None else -1
    return max((start for start in starts if start <= at), default=None)


def _ended(log: Log, looks: Sequence[_Look], up: Sequence[_Look], seen: Sequence[float], until: float) -> float | None:
    """None where nobody knows how long it is up, or saw it `up` before this was taken out. `seen`: the minutes of what
    was read without it since."""
    if log.up_for is None or not up:
        return None
    last = up[-1]
    gone = min(seen, default=until)
    down = [look for look in looks if look.during == "floor" and look.start < last.start][-1:]
    same = [look for look in up if not down or look.start > down[0].start]
    first = next(look for look in same if last.minute - look.minute <= log.up_for)
    latest = first.minute + log.up_for
    earliest = min(max([last.minute, *(look.minute + log.up_for for look in down)]), latest)
    return ended_by(gone, earliest, latest)


def ended_by(gone: float, earliest: float, latest: float) -> float:
    """The chance that it ended before `gone`, all minutes from `earliest` to `latest` being as likely."""
    share = (gone - earliest) / (latest - earliest) if latest > earliest else float(gone >= latest)
    return min(max(share, LEAST_ENDED), 1.0)


def _log_before(readings: Sequence[Reading], after: Reading) -> Log | None:
    """The latest log of the whole current above a reading, if what it shows comes and goes."""
    at = after.span.start if after.span is not None else -1
    logs = (r.log for r in reversed(readings) if r.span is not None and r.span.start < at and not r.without)
    log = next((log for log in logs if log is not None), None)
    return log if log is not None and log.comes_and_goes else None


def _minutes(card: JobCard) -> Iterator[tuple[int, float]]:
    """Where each entry begins that says its time, or stands below one that does, and the minute of the card's clock."""
    now: float | None = None
    first = first_day(card.entries)
    for entry in card.entries:
        if entry.struck is None and entry.at is not None:
            with suppress(WrongUse):  # told with the other times of the card
                now = minute_of(entry.at.value, now, first)
        if now is not None:
            yield entry.span.start, now


def _looks(
    platform: Platform, card: JobCard, readings: Sequence[Reading], minutes: dict[int, float], out: set[str], log: Log
) -> Iterator[_Look]:  # fmt: skip
    """What was seen of the draw in each entry in turn, with what is tried in."""
    for entry in card.entries:
        start, end = entry.span.start, entry.span.end
        if entry.struck is not None or start not in minutes:
            continue
        its = [r for r in readings if r.span is not None and start <= r.span.start < end]
        if any(out <= set(r.without) for r in its):
            continue
        posts = [r for r in its if battery_read_at(platform, r.place) and r.log is None]
        shown = [state for r in posts if (state := state_shown(r, log))]
        if said := said_to_be(entry):
            shown.append(said)
        if shown and ("event" in shown or not any(r.without for r in posts)):
            yield _Look(start, minutes[start], "event" if "event" in shown else "floor")
