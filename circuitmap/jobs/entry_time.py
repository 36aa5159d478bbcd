"""The time of a new entry: never earlier than the one before it, and never the next day without being told."""

import re
from datetime import datetime

from circuitmap.evidence.job_card import JobCard
from circuitmap.failures import WrongUse

_TIME = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T])?(\d{1,2}):(\d{2})\Z", re.ASCII)
FORM = "%Y-%m-%d %H:%M"


def time_of_entry(card: JobCard, said: str, now: datetime) -> str:
    """The time to write: `said` with the day of the last entry where it says none, or `now` if it says nothing.

    Raises WrongUse for a time that is none, or that lies before the last entry.
    """
    day, minutes = _last(card)
    if not said.strip():
        return now.strftime(FORM)
    match = _TIME.match(said.strip())
    if match is None or int(match[2]) > 23 or int(match[3]) > 59:
        raise WrongUse(f"{said} is not a time.", "Write 10:50, or '2026-11-24 10:50' with the day.")
    if match[1]:
        return f"{match[1]} {int(match[2]):02d}:{match[3]}"
    told = int(match[2]) * 60 + int(match[3])
    if minutes is not None and told < minutes:
        last = f"{minutes // 60}:{minutes % 60:02d}"
        raise WrongUse(
            f"{said} is earlier than the entry before it ({last}).", "If it is the next day, give the day too."
        )
    clock = f"{told // 60:02d}:{told % 60:02d}"
    if minutes is not None and not day:
        return clock
    return f"{day or now.strftime('%Y-%m-%d')} {clock}"


def _last(card: JobCard) -> tuple[str, int | None]:
    """Day (empty if never said) and minutes of the day of the last entry that has a time."""
    day, minutes = "", None
    for entry in card.entries:
        match = _TIME.match(entry.at.value.strip()) if entry.at is not None else None
        if match is not None:
            day = match[1] or day
            minutes = int(match[2]) * 60 + int(match[3])
    return day, minutes
