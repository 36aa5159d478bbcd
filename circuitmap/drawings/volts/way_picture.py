"""The way of a current as a sheet to carry to the car: each point with the volts to expect, a field to write in what
the probe showed, and what lies between it and the next point.
"""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.drawings.inking.chart_page import MARGIN, chart_legend, chart_page, chart_text, chart_title
from circuitmap.drawings.inking.ink import Disc, Ink, Picture, Plate, Role, Stroke
from circuitmap.drawings.lettering.text_width import SMALL, Style, clean, lines_of
from circuitmap.drawings.scene.palette import BLUE, FAINT, INK, PAPER, SOFT_INK, VERMILLION
from circuitmap.quantities import Band

_ROW = 25.0
_NAMES, _SCALE, _SCALE_WIDTH = 28.0, 300.0, 220.0
_TEXT, _FIELD = 534.0, 690.0
_MOST, _NINETY = "#d5e3ec", "#7fa8c4"
_POINT = Style(8.5, True)


class ProbeRow(NamedTuple):
    """One point: its name, what leads on to the next one, what is to be expected in volts and in words, what was read;
    `untouched`: why nobody probes there; empty: there is a field to write into. `asked`: it was asked about."""

    name: str
    onward: str
    most: Band
    ninety: Band
    usual: float
    words: str
    read: float | None
    untouched: str
    asked: bool


def way_picture(title: str, rows: Sequence[ProbeRow], below: Sequence[str]) -> Picture:
    """One page: the title, the points from the battery to the load and on to ground, and below them `below`."""
    ink, y = chart_title(title)
    top = y + 18
    high = max((row.most.high for row in rows), default=1.0)
    high = max(high, *(row.read or 0.0 for row in rows), 1.0) * 1.04
    ink += _axis(top, top + _ROW * len(rows), high)
    for number, row in enumerate(rows):
        ink += _row(row, top + _ROW * number, high, last=number + 1 == len(rows))
    y = top + _ROW * len(rows) + 16
    ink += chart_legend(y, _samples(y))
    return chart_page(title, ink, y + 18, below)


def _at(volts: float, high: float) -> float:
    return _SCALE + _SCALE_WIDTH * min(max(volts / high, 0.0), 1.0)


def _axis(top: float, bottom: float, high: float) -> list[Ink]:
    ink: list[Ink] = []
    step = next(its for its in (0.5, 1, 2, 5, 10) if high / its <= 8)
    volts = 0.0
    while volts <= high:
        x = _at(volts, high)
        ink.append(Stroke(((x, top - 4), (x, bottom)), "#dddddd", 0.5, role=Role.PAGE))
        ink.append(chart_text(x, top - 8, f"{volts:g} V", SMALL, SOFT_INK, Role.PAGE, middle=True))
        volts += step
    ink.append(chart_text(_TEXT, top - 8, "nine in ten (at most)", SMALL, SOFT_INK, Role.PAGE))
    ink.append(chart_text(_FIELD, top - 8, "read", SMALL, SOFT_INK, Role.PAGE))
    return ink


def _row(row: ProbeRow, y: float, high: float, *, last: bool) -> list[Ink]:
    middle = y + 8
    colour = VERMILLION if row.asked else INK
    ink: list[Ink] = []
    if not last:
        ink.append(Stroke(((MARGIN + 4, middle), (MARGIN + 4, middle + _ROW)), SOFT_INK, 1.2, role=Role.WIRE))
        onward = lines_of(clean(row.onward), SMALL, _SCALE - _NAMES - 14, 1)
        ink += [chart_text(_NAMES, middle + 12.5, line, SMALL, SOFT_INK, Role.TAG) for line in onward]
    ink.append(
        Disc(MARGIN + 4, middle, 3, fill=colour if row.asked else PAPER, colour=colour, line=1.1, role=Role.SYMBOL)
    )
    ink.append(chart_text(_NAMES, middle + 3, clean(row.name), _POINT, colour, Role.TAG))
    for band, fill, half in ((row.most, _MOST, 5.0), (row.ninety, _NINETY, 5.0)):
        left, right = _at(band.low, high), _at(band.high, high)
        ink.append(Plate(left, middle - half, max(right - left, 1.0), 2 * half, fill=fill, role=Role.RAIL))
    x = _at(row.usual, high)
    ink.append(Stroke(((x, middle - 6), (x, middle + 6)), BLUE, 1.2, role=Role.RAIL))
    if row.read is not None:
        ink.append(Disc(_at(row.read, high), middle, 3.6, fill=VERMILLION, colour=PAPER, line=0.6, role=Role.TAG))
    ink.append(chart_text(_TEXT, middle + 3, clean(row.words), SMALL, INK, Role.TAG))
    if row.untouched:
        ink.append(chart_text(_FIELD, middle + 3, row.untouched, SMALL, VERMILLION, Role.TAG))
    elif row.read is not None:
        ink.append(chart_text(_FIELD, middle + 3, f"{row.read:g} V", _POINT, VERMILLION, Role.TAG))
    else:
        ink.append(Plate(_FIELD, middle - 7, 40, 14, fill=PAPER, colour=FAINT, line=0.7, role=Role.TAG))
        ink.append(chart_text(_FIELD + 44, middle + 3, "V", SMALL, SOFT_INK, Role.TAG))
    return ink


def _samples(y: float) -> tuple[tuple[Plate | Disc | Stroke, str], ...]:
    return (
        (Plate(0, y - 7, 18, 8, fill=_NINETY, role=Role.LEGEND), "nine times in ten"),
        (Plate(0, y - 7, 18, 8, fill=_MOST, role=Role.LEGEND), "at most"),
        (Stroke(((9, y - 9), (9, y + 2)), BLUE, 1.2, role=Role.LEGEND), "usual"),
        (Disc(9, y - 3, 3.6, fill=VERMILLION, colour=PAPER, line=0.6, role=Role.LEGEND), "read"),
    )
