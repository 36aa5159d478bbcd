"""When was this sample taken? Cells with a date, a time of day, both, or a count, as seconds.

Which of two numbers is the day is not decided here: a date is kept by its place among those met so far, and
all of them are read once the last is known.
"""

import re
from collections.abc import Sequence
from datetime import date
from typing import Literal

from circuitmap.recording.cells import stamp_parts

TimeKind = Literal["stamp", "time", "seconds", "since 1970", "days", "count", "interval", "none"]
DAY = 86_400.0
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_OTHER_MONTHS = {"mär": 3, "mai": 5, "okt": 10, "dez": 12}
_TIME = re.compile(
    r"(\d{1,3}):(\d\d)(?::(\d\d)(?:[.,](\d{1,9}))?)?\s*(?:([AaPp])\.?[Mm]\.?)?\s*(Z|UTC|[+-]\d\d:?\d\d)?"
)
_DATE = re.compile(r"(\d{1,4})[-./ ](\d{1,2}|[^\W\d]{3,9})[-./ ](\d{1,4})")
_MOST_DATES = 4_000
_MOST_KEPT = 200_000


class StampReader:
    """Reads stamps; `dates` are the dates met, in the order in which they came, `zone` is the first zone named."""

    def __init__(self) -> None:
        self.dates: dict[str, int] = {}
        self.zone: float | None = None
        self._times: dict[str, float | None] = {}

    def stamp(self, cell: str) -> float | None:
        """Seconds of a cell with date and time."""
        parts = cell.split("T" if cell[10:11] == "T" else " ", 1)
        if len(parts) == 2 and parts[0] in self.dates:
            return self.both(parts[0], parts[1])
        found = stamp_parts(cell)
        return self.both(*found) if found else None

    def both(self, day: str, time: str) -> float | None:
        """Seconds of a date and a time of day: days are counted by the order in which their dates came."""
        number = self.dates.get(day)
        if number is None:
            if len(self.dates) >= _MOST_DATES or _DATE.fullmatch(day) is None:
                return None
            number = self.dates[day] = len(self.dates)
        seconds = self.time(time)
        return None if seconds is None else number * 2 * DAY + seconds

    def time(self, cell: str) -> float | None:
        """Seconds since midnight, in the first zone that was named."""
        if cell in self._times:
            return self._times[cell]
        seconds = self._read_time(cell)
        if len(self._times) < _MOST_KEPT:
            self._times[cell] = seconds
        return seconds

    def _read_time(self, cell: str) -> float | None:
        match = _TIME.fullmatch(cell.strip())
        if match is None:
            return None
        hours, minutes, seconds = int(match[1]), int(match[2]), int(match[3] or 0)
        if minutes > 59 or seconds > 60:
            return None
        if match[5]:
            if not 1 <= hours <= 12:
                return None
            hours = hours % 12 + (12 if match[5] in "pP" else 0)
        total = hours * 3600.0 + minutes * 60 + seconds + (float(f"0.{match[4]}") if match[4] else 0.0)
        if match[6]:
            zone = _zone(match[6])
            if self.zone is None:
                self.zone = zone
            total += self.zone - zone
        return total


def _zone(text: str) -> float:
    if text in ("Z", "UTC"):
        return 0.0
    digits = text[1:].replace(":", "")
    return (-1 if text[0] == "-" else 1) * (int(digits[:2]) * 3600.0 + int(digits[2:]) * 60)


def days_of(dates: Sequence[str], month_first: bool) -> list[int] | None:
    """The dates as days since 1 January of year 1, read one way; None if one of them is no date so."""
    days = []
    for text in dates:
        match = _DATE.fullmatch(text)
        if match is None:
            return None
        first, middle, last = match[1], match[2], match[3]
        month = _month(middle)
        if len(first) == 4:
            year, day = int(first), int(last)
        else:
            year, day = int(last) + (2000 if len(last) < 4 else 0), int(first)
            if month_first and middle.isdigit():
                month, day = day, month
        try:
            days.append(date(year, month, day).toordinal() - 1)
        except ValueError:
            return None
    return days


def _month(text: str) -> int:
    if text.isdigit():
        return int(text)
    short = text[:3].lower()
    return _MONTHS.index(short) + 1 if short in _MONTHS else _OTHER_MONTHS.get(short, 0)
