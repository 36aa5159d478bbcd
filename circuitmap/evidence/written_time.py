"""A time as it is written on a card: `10:50`, `10:50:07`, `2026-11-24 10:50`."""

import re
from typing import NamedTuple

A_DAY = 24 * 60.0
"""Minutes."""

_FORM = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T])?(\d{1,2}):(\d{2})(?::(\d{2}))?\Z", re.ASCII)


class WrittenTime(NamedTuple):
    """The day, empty if none is written, and the minutes of the day. `to_the_second`: the seconds are written, too; a
    time without them may be any moment of its minute."""

    day: str
    minutes: float
    to_the_second: bool = False

    @property
    def clock(self) -> str:
        """`10:50`, or `10:50:07`."""
        seconds = round(self.minutes * 60)
        clock = f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}"
        return f"{clock}:{seconds % 60:02d}" if self.to_the_second else clock

    def not_before(self, minutes: float) -> "WrittenTime":
        """This time; at least `minutes` of the same day where both are in the same minute and its own seconds are not
        written: nobody then knows which came first, and what is written below came later."""
        same = not self.to_the_second and int(minutes) == int(self.minutes)
        return WrittenTime(self.day, minutes, True) if same and minutes > self.minutes else self


def written_time(text: str) -> WrittenTime | None:
    """None for what is not a time."""
    match = _FORM.match(text.strip())
    if match is None or int(match[2]) > 23 or int(match[3]) > 59 or int(match[4] or 0) > 59:
        return None
    minutes = int(match[2]) * 60 + int(match[3]) + int(match[4] or 0) / 60
    return WrittenTime(match[1] or "", minutes, match[4] is not None)
