"""The time of an entry, as minutes that only run forwards."""

from datetime import datetime

from circuitmap.evidence.written_time import A_DAY, written_time
from circuitmap.failures import WrongUse
from circuitmap.quantities import Band


def minute_of(at: str, now: float | None) -> float:
    """The minute of `10:50`, or `2026-11-24 10:50`, not before `now`: without a date it may be the next day's. Raises
    WrongUse."""
    written = written_time(at)
    if written is None:
        raise WrongUse("A time is written 10:50, or 2026-11-24 10:50; with seconds 10:50:07.")
    if written.day:
        try:
            day = datetime.strptime(written.day, "%Y-%m-%d").toordinal() * A_DAY
        except ValueError:
            raise WrongUse(f"There is no day {written.day}.") from None
    else:
        day = (now // A_DAY) * A_DAY if now is not None else 0.0
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


def asleep_from(locked_at: float | None, woken_at: float | None, sleep: Band) -> float | None:
    """The minute from which on a closed vehicle counts as asleep, by the same rule by which a reading is judged: its
    longest time after it was locked, its shortest after it was woken last. None where the card says neither."""
    if woken_at is not None and (locked_at is None or woken_at > locked_at):
        return woken_at + sleep.low
    return locked_at + sleep.high if locked_at is not None else None
