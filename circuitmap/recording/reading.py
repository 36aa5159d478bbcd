"""A recorder's file, read: samples in ampere over time, with what was taken for what and what has to be asked."""

from itertools import islice, pairwise
from math import isnan
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from circuitmap.failures import CannotRead
from circuitmap.recording.clock import DAY, Course, course_of
from circuitmap.recording.columns import Columns, columns_of
from circuitmap.recording.layout import LOOKED_AT, FileLayout, layout_of
from circuitmap.recording.lines import RecordedLines
from circuitmap.recording.preamble import Preamble, preamble_of
from circuitmap.recording.recorded import AskedOfFile, Recording, Remark, TakenFor, ToldOfFile
from circuitmap.recording.rows import ReadRows, read_rows
from circuitmap.recording.stamps import StampReader, days_of
from circuitmap.recording.units import words_of

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

_TURNED = 0.98
"""From which share of negative samples on the clamp is taken for turned round (judgement): a charger is not on from
the first sample to the last."""
_CHARGED = 0.02
_SAID_SIGN = ("+ =", "+=", "out of", "into", "discharge")
_HELD = ("on change", "bei änderung")


def read_recording(path: Path, told: ToldOfFile) -> Recording:
    """Reads a file; what only somebody who was there can say is in `asked`. Raises CannotRead, with the place, for what
    cannot be a log, and LimitReached for what is too large."""
    name = str(path)
    lines = RecordedLines(path)
    layout = layout_of(name, list(islice(iter(lines), LOOKED_AT)))
    preamble = preamble_of(layout.above, layout.delimiter)
    columns = columns_of(layout, preamble, told)
    stamps = StampReader()
    lines = RecordedLines(path)
    rows = read_rows(name, lines.blocks(), layout, columns, stamps)
    values = [np.frombuffer(column) if column else np.empty(0) for column in rows.columns]
    first = values[0]
    if not np.isfinite(first).any():
        raise CannotRead(
            f"{name}, line {layout.rows[0].line}: {first.size:,} rows, and not one number in their column.",
            "What stands there: "
            + ", ".join(dict.fromkeys(row.cells[columns.values[0]] or "nothing" for row in layout.rows[:5])),
        )
    times, began, day_known, remarks = _times(rows, columns, stamps, preamble, told)
    course = course_of(
        name,
        rows,
        first,
        times,
        clock=columns.time_kind in ("stamp", "time"),
        dated=columns.time_kind == "stamp",
        held=any(word in " ".join(layout.names).lower() for word in _HELD),
    )
    remarks = [*lines.remarks, *rows.remarks, *remarks, *course.remarks]
    if len(rows.units_seen) > 1:
        remarks.append(Remark("units differ", text=", ".join(sorted(rows.units_seen))))
    if columns.scale is not None:
        remarks.append(Remark("scale", 0 if told.scale else preamble.scale_line, columns.scale))
    return _recording(layout, preamble, columns, told, rows, values, course, began, day_known, remarks, lines.encoding)


def _times(
    rows: ReadRows, columns: Columns, stamps: StampReader, preamble: Preamble, told: ToldOfFile
) -> tuple["Floats", float | None, bool, list[Remark]]:
    """Times as the stamps say, the first as seconds since year 1 (or since midnight), and whether the day is known."""
    times = np.frombuffer(rows.times).copy()
    remarks: list[Remark] = []
    if columns.time_kind == "stamp":
        dates = list(stamps.dates)
        days, ways = _days(times, dates)
        number = np.floor((times + DAY / 2) / (2 * DAY)).astype(np.int64)
        times = times - number * 2 * DAY + np.array(days, dtype=np.float64)[number] * DAY
        if ways:
            remarks.append(Remark("date reads both ways" if ways == "both" else "month first"))
        return times, float(times[0]), ways != "both", remarks
    if columns.time_kind == "time":
        remarks.append(Remark("day not known"))
        return times, float(times[0]), False, remarks
    if columns.time_kind == "since 1970":
        remarks.append(Remark("universal time"))
        times += 719_162 * DAY
        return times, float(times[0]), True, remarks
    if columns.time_kind == "days":
        # Spreadsheets count days from 30 December 1899 (memory).
        remarks.append(Remark("days since 1899"))
        times += 693_593 * DAY
        return times, float(times[0]), True, remarks
    if columns.time_kind == "count":
        remarks.append(Remark("own count", amount=float(times[0])))
        return times, None, False, remarks
    distance = told.distance or preamble.interval or 1.0
    times = times * distance + (preamble.first_point or 0.0)
    start = _start(preamble)
    if start is None:
        remarks.append(Remark("own count", amount=float(times[0]) if times.size else 0.0))
    else:
        times += start
    return times, start, start is not None and start > 2 * DAY, remarks


def _start(preamble: Preamble) -> float | None:
    if not preamble.start:
        return None
    reader = StampReader()
    seconds = reader.stamp(preamble.start)
    if seconds is None:
        return reader.time(preamble.start)
    days = days_of(list(reader.dates), False) or days_of(list(reader.dates), True)
    return None if days is None else seconds + days[0] * DAY


def _days(times: "Floats", dates: list[str]) -> tuple[list[int], str]:
    """The dates as days, and how they had to be read: empty if nobody could read them otherwise.

    With points between them the day comes first (practice). Else that reading is taken in which the dates follow each
    other; if both do, the one without a leap.
    """
    day_first, month_first = days_of(dates, False), days_of(dates, True)
    if day_first is None and month_first is None:
        return [0 for _ in dates], "both"
    if day_first is None or month_first is None or day_first == month_first:
        return day_first or month_first or [], "" if month_first is None or day_first == month_first else "month"
    if "." in dates[0]:
        return day_first, ""
    widths = [max((abs(b - a) for a, b in pairwise(days)), default=0) for days in (day_first, month_first)]
    if widths[0] == widths[1]:
        return day_first, "both"
    return (day_first, "") if widths[0] < widths[1] else (month_first, "month")


def _recording(
    layout: FileLayout,
    preamble: Preamble,
    columns: Columns,
    told: ToldOfFile,
    rows: ReadRows,
    values: "list[Floats]",
    course: Course,
    began: float | None,
    day_known: bool,
    remarks: list[Remark],
    encoding: str,
) -> Recording:
    asked = list(columns.asked)
    kept = [column[course.kept] * columns.factor for column in values]
    amps = kept[0]
    over = np.isinf(amps)
    numbers = amps[np.isfinite(amps)]
    if over.any():
        limit = preamble.range_amps or float(np.nanmax(np.where(over, np.nan, amps)))
        line = rows.line_of(int(course.kept[np.nonzero(over)[0][0]]))
        remarks.append(Remark("over range", line, float(over.sum()), limit))
        amps[over] = limit
    here = ~np.isnan(amps)
    kept = [column[here] for column in kept]
    times = course.times[here]
    places = np.cumsum(here) - 1
    gaps = [(max(0, int(places[at])), seconds) for at, seconds in course.gaps]
    sign, more = _sign(kept[0], layout, told, columns)
    if sign == "asked":
        asked.append(AskedOfFile("sign"))
    remarks += more
    turn = sign == "turned"
    kept = [-column if turn else column for column in kept]
    numbers = -numbers if turn else numbers
    role = len(columns.values)
    extra = kept[role:]
    least = extra[0] if columns.least >= 0 else None
    most = extra[-1] if columns.most >= 0 else None
    if turn:
        least, most = most, least
    if not columns.has_mean:
        remarks.append(Remark("no mean"))
    for zero in preamble.zeros:
        remarks.append(Remark("zero said", zero.line, zero.amps, text=zero.when))
    if not preamble.zeros:
        remarks.append(Remark("zero not known"))
    ranges = tuple((float(np.min(one)), float(np.max(one))) for one in kept[:role] if one.size)
    asked = [one._replace(ranges=ranges) if one.names else one for one in asked]
    names = tuple(name or f"column {at + 1}" for at, name in enumerate(layout.names))
    taken = TakenFor(
        encoding=encoding if not any(remark.kind == "not unicode" for remark in remarks) else "8-bit text",
        delimiter=layout.delimiter_name,
        decimal=columns.decimals[columns.values[0]],
        first_row=layout.rows[0].line,
        time=tuple(names[at] for at in columns.time),
        time_kind=columns.time_kind,
        current=names[columns.values[0]],
        unit=columns.unit,
        unit_from=columns.unit_from,
        least=names[columns.least] if columns.least >= 0 else "",
        most=names[columns.most] if columns.most >= 0 else "",
        others=tuple(names[at] for at in columns.others),
    )
    start = times[0] if times.size else 0.0
    if began is not None:
        began = float(start)
        if columns.time and words_of(names[columns.time[0]]) & {"end", "ende"}:
            # The stamp stands at the end of its interval.
            began -= course.distance
    return Recording(
        taken=taken,
        remarks=tuple(remarks),
        asked=tuple(asked),
        rows=len(rows.times),
        seconds=times - start,
        amps=kept[0],
        smallest=float(numbers.min()),
        largest=float(numbers.max()),
        numbers=int(numbers.size),
        distance=course.distance if not isnan(course.distance) else 0.0,
        began=began,
        day_known=day_known,
        least=least,
        most=most,
        has_mean=columns.has_mean,
        held=course.held,
        gaps=tuple(gaps),
    )


def _sign(amps: "Floats", layout: FileLayout, told: ToldOfFile, columns: Columns) -> tuple[str, list[Remark]]:
    """Whether the values are turned round: `kept`, `turned`, or `asked`."""
    negative = float(np.mean(amps < 0.0))
    charged = [Remark("charged", amount=negative)] if negative > _CHARGED else []
    if told.sign:
        turned = told.sign == "turned"
        return told.sign, [Remark("sign turned" if turned else "sign kept")] + ([] if turned else charged)
    name = layout.names[columns.values[0]].lower()
    if any(word in name for word in _SAID_SIGN) and words_of(name):
        return "kept", [Remark("sign kept"), *charged]
    if negative >= _TURNED:
        return "turned", [Remark("sign turned")]
    return ("asked", charged) if negative > 0.5 else ("kept", charged)
