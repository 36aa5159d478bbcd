"""From stamps to time that runs evenly: midnight, clock changes, doubles, several samples to a stamp, gaps.

Nothing is sorted: where time goes back for no reason that is known here, two courses would be woven into one.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np

from circuitmap.failures import CannotRead
from circuitmap.recording.recorded import Remark
from circuitmap.recording.rows import ReadRows

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

HOUR, DAY = 3600.0, 86_400.0
_EVEN = 0.02
"""How far a distance may be from another and still be the same one, as a share (judgement)."""
MOST_LATE = 500_000
"""Rows out of order that are looked at; a file with more of them is no log."""


@dataclass(slots=True)
class Course:
    """Times being put right, the rows that are kept, and what was found on the way."""

    times: "Floats"
    kept: "np.ndarray[tuple[int], np.dtype[np.int64]]"
    remarks: list[Remark] = field(default_factory=list)
    gaps: list[tuple[int, float]] = field(default_factory=list)
    distance: float = 0.0
    held: bool = False

    def keep(self, which: "np.ndarray[tuple[int], np.dtype[np.bool_]]") -> None:
        self.times, self.kept = self.times[which], self.kept[which]


def course_of(
    name: str, rows: ReadRows, values: "Floats", times: "Floats", *, clock: bool, dated: bool, held: bool
) -> Course:
    """Rising times in seconds. `clock`: the stamps are times of day, `dated`: with a date; `held`: the file says that
    values are written on change. Raises CannotRead, with its place, where time goes back."""
    course = Course(times.copy(), np.arange(times.size))
    if course.times.size > 2 and np.median(np.diff(course.times)) < 0 and np.mean(np.diff(course.times) < 0) > 0.9:
        course.times, course.kept = course.times[::-1].copy(), course.kept[::-1]
        course.remarks.append(Remark("newest first"))
    if clock and not dated:
        _over_midnight(course, rows)
    _several_to_a_stamp(course)
    if clock or dated:
        _clock_set_back(course, rows)
    _drop_doubles(course, rows, values)
    back = np.nonzero(np.diff(course.times) < 0)[0]
    if back.size:
        raise _goes_back(name, rows, course, int(back[0]))
    same = np.nonzero(np.diff(course.times) == 0)[0]
    if same.size:
        line = rows.line_of(int(course.kept[same[0] + 1]))
        raise CannotRead(
            f"{name}, line {line}: the same time as the row before, and another value ({same.size:,} such rows).",
            "Say how far apart the samples are: --distance 1s.",
        )
    _distances(course, rows, held=held, dated=clock and dated)
    return course


def _over_midnight(course: Course, rows: ReadRows) -> None:
    steps = np.diff(course.times)
    back = np.nonzero(steps < -DAY / 2)[0]
    for place in back:
        course.times[place + 1 :] += DAY
        course.remarks.append(Remark("midnight", rows.line_of(int(course.kept[place + 1]))))


def _several_to_a_stamp(course: Course) -> None:
    """Where nearly every stamp stands as many times, the recorder samples oftener than its stamps say."""
    times = course.times
    if times.size < 4:
        return
    first = np.concatenate(([True], np.diff(times) != 0))
    starts = np.nonzero(first)[0]
    if starts.size < 3:
        return
    counts = np.diff(np.concatenate((starts, [times.size])))
    usual = int(np.median(counts[1:-1])) if counts.size > 2 else int(counts[0])
    inner = counts[1:-1] if counts.size > 2 else counts
    if usual < 2 or np.mean(np.abs(inner - usual) <= max(1, usual // 20)) < 0.9:
        return
    distance = float(np.median(np.diff(times[starts])))
    within = np.arange(times.size) - np.repeat(starts, counts)
    share = np.repeat(np.maximum(counts, usual), counts)
    # The first stamp may have begun before the recorder did: its samples belong to its end.
    if counts[0] < usual:
        within[: counts[0]] += usual - counts[0]
    course.times = times + within / share * distance
    course.remarks.append(Remark("several to a stamp", amount=float(usual)))


def _clock_set_back(course: Course, rows: ReadRows) -> None:
    """An hour back between rows that are otherwise evenly apart; more than once in a log is no clock change."""
    if course.times.size < 3:
        return
    steps = np.diff(course.times)
    usual = float(np.median(steps))
    back = np.nonzero(steps < 0)[0]
    if back.size == 1 and abs(steps[back[0]] - (usual - HOUR)) <= max(1.5, _EVEN * usual):
        place = int(back[0])
        course.times[place + 1 :] += HOUR
        course.remarks.append(Remark("clock set back", rows.line_of(int(course.kept[place + 1]))))


def _drop_doubles(course: Course, rows: ReadRows, values: "Floats") -> None:
    """Rows that stand there twice, time and value alike: single ones, and blocks that were written again."""
    times, seen = course.times, values[course.kept]
    reached = np.maximum.accumulate(times)
    late = np.nonzero(times[1:] <= reached[:-1])[0] + 1
    if not 0 < late.size < MOST_LATE:
        return
    keep = np.ones(times.size, dtype=bool)
    known: dict[tuple[float, float], int] = {}
    # Only rows that come late can be doubles, and only of rows at their own time.
    wanted = np.unique(times[late])
    for row in np.nonzero(np.isin(times, wanted))[0]:
        key = (float(times[row]), float(seen[row]))
        if known.setdefault(key, int(row)) != row:
            keep[row] = False
    dropped = np.nonzero(~keep)[0]
    if dropped.size:
        line = rows.line_of(int(course.kept[dropped[0]]))
        course.remarks.append(Remark("doubles", line, float(dropped.size)))
        course.keep(keep)


def _goes_back(name: str, rows: ReadRows, course: Course, place: int) -> CannotRead:
    line = rows.line_of(int(course.kept[place + 1]))
    step = course.times[place] - course.times[place + 1]
    return CannotRead(
        f"{name}, line {line}: the time goes back by {plain_time(step)}, and what follows was not written before.",
        f"The clock was set, or two logs were joined: cut the file there ({place + 1:,} samples before it, "
        f"{course.times.size - place - 1:,} after).",
    )


def plain_time(seconds: float) -> str:
    """`23 min 40 s`, `1 h 0 min`, `0.5 s`."""
    if seconds < 60:
        return f"{float(f'{seconds:.3g}'):g} s"
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s" if whole % 60 else f"{whole // 60} min"
    rest = f" {whole % 60} s" if whole % 60 and whole < 4 * 3600 else ""
    return f"{whole // 3600} h {whole % 3600 // 60} min{rest}"


def _distances(course: Course, rows: ReadRows, *, held: bool, dated: bool) -> None:
    times = course.times
    if times.size < 2:
        return
    steps = np.diff(times)
    usual = float(np.median(steps))
    even = float(np.mean(np.abs(steps - usual) <= 0.25 * usual))
    course.distance = usual
    if held or (even < 0.5 and times.size > 10):
        course.held = True
        course.remarks.append(Remark("uneven"))
        return
    for place in np.nonzero(steps > 1.5 * usual)[0][:1000]:
        step = float(times[place + 1] - times[place])
        line = rows.line_of(int(course.kept[place + 1]))
        hour_more = abs(step - usual - HOUR) <= max(1.5, _EVEN * usual)
        if dated and hour_more and usual < HOUR and _spring(times[place]):
            times[place + 1 :] -= HOUR
            course.remarks.append(Remark("clock set forward", line, HOUR))
        elif step > 2.5 * usual:
            course.gaps.append((int(place), step - usual))
            course.remarks.append(Remark("gap", line, step - usual))


def _spring(seconds: float) -> bool:
    """Whether clocks are set forward at about this time: a Sunday in March or April, in the early morning."""
    day = date(1, 1, 1) + timedelta(days=int(seconds // DAY))
    return day.weekday() == 6 and day.month in (3, 4) and seconds % DAY < 4 * HOUR
