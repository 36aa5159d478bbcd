"""The time of a new entry: never earlier than the one before, and never on the next day unless that is said.

Where the entry before is later than the new one, one of two clocks was wrong. Only a person knows which; the message
says how to go on in either case.
"""

import shlex
from datetime import datetime
from typing import NamedTuple

from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.written_time import WrittenTime, written_time
from circuitmap.failures import WrongUse


def time_of_entry(card: JobCard, said: str, now: datetime, called: str = "") -> str:
    """The time to write: `said`, with the day of the last entry where it gives none; or `now` if nothing was said.

    `called` is the card's file as it was typed. Raises WrongUse for something that is not a time, or a time before the
    last entry that counts.
    """
    last = _last(card)
    called = called or card.source.path
    called = shlex.quote(f"./{called}" if called.startswith("-") else called)
    if not said.strip():
        here = WrittenTime(now.strftime("%Y-%m-%d"), now.hour * 60.0 + now.minute)
        return _not_before(last, here, "the clock of this machine says", called)
    time = written_time(said)
    if time is None:
        raise WrongUse(f"{said} is not a time.", "Write 10:50, or '2026-11-24 10:50' with the day.")
    if time.day:
        return _not_before(last, time, "--at says", called)
    if last.time is not None:
        time = time.not_before(last.time.minutes)
        if time.minutes < last.time.minutes:
            raise WrongUse(
                f"{said} is earlier than the entry before it ({last.time.clock}).",
                f"If it is the next day, give the day too. {_strike(last.number, called)}",
            )
        if not last.time.day:
            return time.clock
    day = last.time.day if last.time is not None else now.strftime("%Y-%m-%d")
    return f"{day} {time.clock}"


class _Last(NamedTuple):
    """The last entry that counts and has a time, with its day (empty if never said) and the number of the entry that
    said the day."""

    time: WrittenTime | None = None
    said_by: int = 0
    number: int = 0


def _last(card: JobCard) -> _Last:
    last = _Last()
    for number, entry in enumerate(card.entries, 1):
        time = written_time(entry.at.value) if entry.at is not None and entry.struck is None else None
        if time is not None:
            said_by = number if time.day else last.said_by
            day = time.day or (last.time.day if last.time is not None else "")
            last = _Last(time._replace(day=day), said_by, number)
    return last


def _not_before(last: _Last, time: WrittenTime, who_says: str, called: str) -> str:
    """`time`, which has its day, unless it lies before the last entry."""
    if last.time is None or not last.time.day:
        return f"{time.day} {time.clock}"
    before = last.time
    if time.day == before.day:
        time = time.not_before(before.minutes)
    if (time.day, time.minutes) >= (before.day, before.minutes):  # days are written with four, two and two digits
        return f"{time.day} {time.clock}"
    number = last.said_by if time.day < before.day else last.number
    raise WrongUse(
        f"Entry {number} is later than this one: the card stands at {before.day} {before.clock}, {who_says} "
        f"{time.day} {time.clock}.",
        f"{_strike(number, called)} If this one is wrong, give its time with --at.",
    )


def _strike(number: int, called: str) -> str:
    return (
        f"If the clock of entry {number} was wrong, strike it, circuitmap card strike {called} {number} 'wrong clock', "
        "and add again what it says, with --at and the right time."
    )
