"""The time of an entry, as minutes that only run forwards."""

import re
from datetime import datetime

from circuitmap.failures import WrongUse

A_DAY = 24 * 60.0

_CLOCK = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T])?(\d{1,2}):(\d{2})\Z", re.ASCII)


def minute_of(at: str, now: float | None) -> float:
    """The minute of `10:50`, or `2026-11-24 10:50`, not before `now`: without a date it may be the next day's. Raises
    WrongUse."""
    match = _CLOCK.match(at.strip())
    if match is None or int(match[2]) > 23 or int(match[3]) > 59:
        raise WrongUse("A time is written 10:50, or 2026-11-24 10:50.")
    minutes = int(match[2]) * 60.0 + int(match[3])
    if match[1]:
        try:
            day = datetime.strptime(match[1], "%Y-%m-%d").toordinal() * A_DAY
        except ValueError:
            raise WrongUse(f"There is no day {match[1]}.") from None
    else:
        day = (now // A_DAY) * A_DAY if now is not None else 0.0
        if now is not None and day + minutes < now:
            day += A_DAY
    if now is not None and day + minutes < now:
        raise WrongUse(
            "This entry is earlier than the one before it.",
            "If the clock of the one before it was wrong, strike that one: circuitmap card strike.",
        )
    return day + minutes
