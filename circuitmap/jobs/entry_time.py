"""The time of a new entry: never earlier than the one before, and never on the next day unless that is said.

Where the entry before is later than the new one, one of two clocks was wrong. Only a person knows which; the message
says how to go on in either case.
"""

import re
import shlex
from datetime import datetime
from typing import NamedTuple

from circuitmap.evidence.job_card import JobCard
from circuitmap.failures import WrongUse

_TIME = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T])?(\d{1,2}):(\d{2})\Z", re.ASCII)
FORM = "%Y-%m-%d %H:%M"


def time_of_entry(card: JobCard, said: str, now: datetime, called: str = "") -> str:
    """The time to write: `said`, with the day of the last entry where it gives none; or `now` if nothing was said.

    `called` is the card's file as it was typed. Raises WrongUse for something that is not a time, or a time before the
    last entry that counts.
    """
    last = _last(card)
    called = called or card.source.path
    called = shlex.quote(f"./{called}" if called.startswith("-") else called)
    if not said.strip():
        return _not_before(last, now.strftime(FORM), "the clock of this machine says", called)
    match = _TIME.match(said.strip())
    if match is None or int(match[2]) > 23 or int(match[3]) > 59:
        raise WrongUse(f"{said} is not a time.", "Write 10:50, or '2026-11-24 10:50' with the day.")
    if match[1]:
        return _not_before(last, f"{match[1]} {int(match[2]):02d}:{match[3]}", "--at says", called)
    told = int(match[2]) * 60 + int(match[3])
    if last.minutes is not None and told < last.minutes:
        raise WrongUse(
            f"{said} is earlier than the entry before it ({last.minutes // 60}:{last.minutes % 60:02d}).",
            f"If it is the next day, give the day too. {_strike(last.number, called)}",
        )
    clock = f"{told // 60:02d}:{told % 60:02d}"
    if last.minutes is not None and not last.day:
        return clock
    return f"{last.day or now.strftime('%Y-%m-%d')} {clock}"


class _Last(NamedTuple):
    """The last entry that counts and has a time: its day (empty if never said) and the entry that said it, its minutes
    of the day, and the entry itself."""

    day: str = ""
    said_by: int = 0
    minutes: int | None = None
    number: int = 0


def _last(card: JobCard) -> _Last:
    last = _Last()
    for number, entry in enumerate(card.entries, 1):
        match = _TIME.match(entry.at.value.strip()) if entry.at is not None and entry.struck is None else None
        if match is not None:
            day, said_by = (match[1], number) if match[1] else (last.day, last.said_by)
            last = _Last(day, said_by, int(match[2]) * 60 + int(match[3]), number)
    return last


def _not_before(last: _Last, time: str, who_says: str, called: str) -> str:
    """`time`, which has its day, unless it lies before the last entry."""
    if not last.day or last.minutes is None:
        return time
    before = f"{last.day} {last.minutes // 60:02d}:{last.minutes % 60:02d}"
    if time >= before:  # both written with four, two and two digits
        return time
    number = last.said_by if time[:10] < last.day else last.number
    raise WrongUse(
        f"Entry {number} is later than this one: the card stands at {before}, {who_says} {time}.",
        f"{_strike(number, called)} If this one is wrong, give its time with --at.",
    )


def _strike(number: int, called: str) -> str:
    return (
        f"If the clock of entry {number} was wrong, strike it, circuitmap card strike {called} {number} 'wrong clock', "
        "and add again what it says, with --at and the right time."
    )
