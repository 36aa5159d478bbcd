"""At which times does it come? A fixed period, a thermostat with a trend, or no rule."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal, NamedTuple

FEWEST = 4
_FILLED = 0.5
_OFF = 1 / 25
"""How far starts may be off the period's marks, root mean square, as a share of the period (judgement): times at random
come so near by chance in less than one of a thousand logs with five starts."""
_TREND = 0.85


class Rhythm(NamedTuple):
    """`period` and how far starts are off it, s; with `trend` the pauses change all one way from `first` to `last`."""

    kind: Literal["once", "twice", "few", "period", "trend", "none"]
    period: float = 0.0
    off: float = 0.0
    missing: int = 0
    first: float = 0.0
    last: float = 0.0


def rhythm_of(starts: Sequence[float], ends: Sequence[float], distance: float) -> Rhythm:
    """The rhythm of events that begin and end at these times, in order."""
    if len(starts) == 1:
        return Rhythm("once")
    if len(starts) < FEWEST:
        apart = [b - a for a, b in pairwise(starts)]
        return Rhythm("twice" if len(starts) == 2 else "few", first=min(apart), last=max(apart))
    period = _period(starts, distance)
    if period is not None:
        return period
    pauses = [later - end for end, later in zip(ends, starts[1:], strict=False)]
    rising = sum(b > a for a, b in pairwise(pauses)) / max(1, len(pauses) - 1)
    if len(pauses) >= 5 and (rising >= _TREND or rising <= 1 - _TREND):
        return Rhythm("trend", first=pauses[0], last=pauses[-1])
    apart = [b - a for a, b in pairwise(starts)]
    return Rhythm("none", first=min(apart), last=max(apart))


def _period(starts: Sequence[float], distance: float) -> Rhythm | None:
    """The longest period whose marks the starts keep to, and at least half of whose marks have one."""
    apart = sorted({round(b - a, 3) for a, b in pairwise(starts)}, reverse=True)
    tried = [gap / part for gap in (*apart[:3], apart[len(apart) // 2], apart[-1]) for part in (1, 2, 3)]
    for guess in sorted(tried, reverse=True):
        if guess < 4 * distance:
            continue
        marks = [round((start - starts[0]) / guess) for start in starts]
        if len(set(marks)) < len(marks) or len(marks) < _FILLED * (marks[-1] + 1):
            continue
        middle_mark, middle = sum(marks) / len(marks), sum(starts) / len(starts)
        spread = sum((mark - middle_mark) ** 2 for mark in marks)
        period = sum((m - middle_mark) * (s - middle) for m, s in zip(marks, starts, strict=True)) / spread
        off = [s - middle - period * (m - middle_mark) for m, s in zip(marks, starts, strict=True)]
        rms = (sum(one * one for one in off) / len(off)) ** 0.5
        if rms <= max(_OFF * period, 0.6 * distance):
            return Rhythm("period", period, rms, marks[-1] + 1 - len(marks))
    return None
