"""The time of an entry, as minutes that only run forwards."""

from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime
from itertools import takewhile

from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.written_time import A_DAY, written_time
from circuitmap.failures import WrongUse
from circuitmap.quantities import Band

UP_TO_A_MINUTE = 59 / 60
"""A time without seconds may be any moment of its minute, in minutes."""


def first_day(entries: Iterable[Entry]) -> float:
    """The minute at which the day of a card's first time begins: where it has no date, of the last day on which it can
    be and all up to the first date on the card still stand in their order; 0 where no entry is dated.

    The last of these days, since whatever lies between must have been written down to count: a longer time than that
    is not shown by the card."""
    times = [entry.at.value for entry in entries if entry.at is not None and entry.struck is None]
    written = [its for at in times if (its := written_time(at)) is not None]
    undated = list(takewhile(lambda its: not its.day, written))
    dated = written[len(undated) :]
    if not undated or not dated:
        return 0.0
    now: float | None = None
    for its in undated:
        now = minute_of(its.clock, now)
    try:
        first = minute_of(f"{dated[0].day} {dated[0].clock}", None)
    except WrongUse:
        return 0.0  # told with the other times of the card
    latest = first if dated[0].to_the_second else first + UP_TO_A_MINUTE
    assert now is not None
    return max(latest - now, 0.0) // A_DAY * A_DAY


def minute_of(at: str, now: float | None, first: float = 0.0) -> float:
    """The minute of `10:50`, or `2026-11-24 10:50`, not before `now`: without a date it may be the next day's; of the
    first time of a card it is that of the day that begins at `first`. Raises WrongUse."""
    written = written_time(at)
    if written is None:
        raise WrongUse("A time is written 10:50, or 2026-11-24 10:50; with seconds 10:50:07.")
    if written.day:
        try:
            day = datetime.strptime(written.day, "%Y-%m-%d").toordinal() * A_DAY
        except ValueError:
            raise WrongUse(f"There is no day {written.day}.") from None
    else:
        day = (now // A_DAY) * A_DAY if now is not None else first
    if now is not None:
        written = written.not_before(now - day)
    minutes = written.minutes
    if not written.day and now is not None and day + minutes < now:
        day += A_DAY
    if now is not None and day + minutes < now:
        raise WrongUse(
            "This entry is earlier than the one before it.",
            "If the clock of the one before it was wrong, strike that one: circuitmap card strike.",
        )
    return day + minutes


def last_minute(entries: Iterable[Entry]) -> float | None:
    """The minute of the last of these entries that has a time; None where none has one that makes sense."""
    its = list(entries)
    first, now = first_day(its), None
    for entry in its:
        with suppress(WrongUse):  # told as a mistake of the card
            now = minute_of(entry.at.value, now, first) if entry.at is not None else now
    return now


def asleep_from(locked_at: float | None, woken_at: float | None, sleep: Band) -> float | None:
    """The minute from which on a closed vehicle counts as asleep, by the same rule by which a reading is judged: its
    longest time after it was locked, its shortest after it was woken last. None where the card says neither."""
    if woken_at is not None and (locked_at is None or woken_at > locked_at):
        return woken_at + sleep.low
    return locked_at + sleep.high if locked_at is not None else None
