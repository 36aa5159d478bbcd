"""The picture of a night: for each column the least and the most of all samples, so that nothing is thinned out."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from circuitmap.drawings.inking.chart_page import MARGIN, WIDTH, chart_legend, chart_page, chart_text, chart_title
from circuitmap.drawings.inking.ink import Disc, Ink, Outline, Picture, Plate, Role, Stroke
from circuitmap.drawings.lettering.text_width import SMALL, Style, width_of
from circuitmap.drawings.logged.scale import NightScale
from circuitmap.drawings.scene.palette import BLUE, FAINT, INK, PAPER, SOFT_INK, VERMILLION
from circuitmap.recording.night import Night

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

_HEIGHT = 250.0
_LEFT = 44.0
COLUMNS = 680
_SAMPLES, _CHARGED = "#9db4c6", "#f0e6c8"
_THINNEST = 0.7
_NUMBER = Style(7.5, True)


def night_picture(
    night: Night,
    title: str,
    began: float,
    gaps: Sequence[tuple[int, float]],
    clock: Callable[[float], str],
    words: Sequence[str],
) -> Picture:
    """One page: title, the night, and below it `words`, which tell what the numbers stand for."""
    ink, y = chart_title(title)
    scale = _scale(night, y + 18)
    ink += _frame(night, scale, began, clock)
    ink += _charged(night, scale)
    ink += _samples(night, scale, gaps)
    ink += _levels(night, scale)
    ink += _marks(night, scale, clock)
    ink += _numbers(night, scale)
    y = scale.top + scale.height + 36
    ink += chart_legend(y, _samples_of_legend(y, bool(night.charged)))
    return chart_page(title, ink, y + 18, words)


def _scale(night: Night, top: float) -> NightScale:
    # One bad sample below zero must not press all else into the upper half: it runs to the edge of the frame.
    least = float(min(level.amps for level in night.levels)) if night.levels else float(night.amps.min())
    most = float(night.amps.max())
    low = min(0.0, least * 1.2)
    return NightScale(
        left=_LEFT,
        top=top,
        width=WIDTH - _LEFT - MARGIN,
        height=_HEIGHT,
        seconds=max(float(night.seconds[-1]) + night.distance, 1e-3),
        low=low,
        high=max(most * 1.4, 0.1, low + 0.1),
    )


def _frame(night: Night, scale: NightScale, began: float, clock: Callable[[float], str]) -> list[Ink]:
    right, bottom = scale.left + scale.width, scale.top + scale.height
    ink: list[Ink] = []
    for amps in scale.amps_marks():
        y = scale.y(amps)
        ink.append(Stroke(((scale.left, y), (right, y)), "#dddddd", 0.5, role=Role.PAGE))
        label = f"{amps:g} A"
        ink.append(chart_text(scale.left - 4 - width_of(label, SMALL), y + 2.6, label, SMALL, SOFT_INK, Role.PAGE))
    taken = 0.0
    for seconds in scale.time_marks(began):
        x, label = scale.x(seconds), clock(seconds)
        ink.append(Stroke(((x, bottom), (x, bottom + 3)), SOFT_INK, 0.6, role=Role.PAGE))
        half = width_of(label, SMALL) / 2
        if x - half > taken and x + half < WIDTH:
            ink.append(chart_text(x, bottom + 12, label, SMALL, SOFT_INK, Role.PAGE, middle=True))
            taken = x + half + 4
    ink.append(Stroke(((scale.left, scale.top), (scale.left, bottom), (right, bottom)), SOFT_INK, 0.8, role=Role.PAGE))
    return ink


def columns_of(seconds: "Floats", amps: "Floats", whole: float) -> "tuple[Floats, Floats, Floats]":
    """Column, least and most of the samples in it, for those that hold any: as much ink as all samples would take."""
    column = np.minimum((seconds / whole * COLUMNS).astype(np.int64), COLUMNS - 1)
    starts = np.concatenate(([0], np.nonzero(np.diff(column))[0] + 1))
    # A line runs on from the last sample of one column to the first of the next.
    least, most = np.minimum.reduceat(amps, starts), np.maximum.reduceat(amps, starts)
    before = amps[starts[1:] - 1]
    least[1:], most[1:] = np.minimum(least[1:], before), np.maximum(most[1:], before)
    return column[starts].astype(np.float64), least, most


def _samples(night: Night, scale: NightScale, gaps: Sequence[tuple[int, float]]) -> list[Ink]:
    edges = [0, *(place + 1 for place, _ in gaps if 0 < place + 1 < night.amps.size), night.amps.size]
    ink: list[Ink] = []
    for start, end in pairwise(edges):
        if end <= start:
            continue
        column, least, most = columns_of(night.seconds[start:end], night.amps[start:end], scale.seconds)
        xs = [scale.left + scale.width * float(one) / COLUMNS for one in column]
        step = scale.width / COLUMNS
        tops = [
            (x + part, scale.y(float(amps)) - _THINNEST / 2)
            for x, amps in zip(xs, most, strict=True)
            for part in (0, step)
        ]
        lows = [
            (x + part, scale.y(float(amps)) + _THINNEST / 2)
            for x, amps in zip(xs, least, strict=True)
            for part in (0, step)
        ]
        ink.append(Outline((*tops, *reversed(lows)), fill=_SAMPLES, role=Role.WIRE))
    return ink


def _charged(night: Night, scale: NightScale) -> list[Ink]:
    return [
        Plate(
            scale.x(span.start),
            scale.top,
            scale.x(span.end) - scale.x(span.start),
            scale.height,
            fill=_CHARGED,
            role=Role.HALO,
        )
        for span in night.charged
    ]


def _levels(night: Night, scale: NightScale) -> list[Ink]:
    points: list[tuple[float, float]] = []
    for level in night.levels:
        end = night.at(level.end) if level.end < night.seconds.size else scale.seconds
        points += [(scale.x(night.at(level.start)), scale.y(level.amps)), (scale.x(end), scale.y(level.amps))]
    return [Stroke(tuple(points), BLUE, 1.1, role=Role.RAIL)]


def _marks(night: Night, scale: NightScale, clock: Callable[[float], str]) -> list[Ink]:
    """Where it was locked, asleep and opened: a dashed line, with what it is and when above."""
    ink: list[Ink] = []
    taken = 0.0
    for word, seconds in (("locked", night.locked), ("asleep", night.asleep), ("opened", night.opened)):
        if seconds is None or (word == "asleep" and seconds == night.locked):
            continue
        x, label = scale.x(seconds), f"{word} {clock(seconds)}"
        ink.append(Stroke(((x, scale.top), (x, scale.top + scale.height)), SOFT_INK, 0.6, (3, 2), Role.SYMBOL))
        width = width_of(label, SMALL)
        at = min(max(x - 2, taken), WIDTH - MARGIN - width)
        ink.append(chart_text(at, scale.top - 4, label, SMALL, SOFT_INK, Role.TAG))
        taken = at + width + 6
    return ink


def _numbers(night: Night, scale: NightScale) -> list[Ink]:
    """The number of its kind over each event, left out where there is no room for it."""
    ink: list[Ink] = []
    placed: list[tuple[float, float]] = []
    wanted = [
        (night.at(event.start), night.at(min(event.end, night.seconds.size - 1)), number)
        for number, kind in enumerate(night.kinds, 1)
        for event in kind.events
    ]
    for start, end, number in wanted:
        x = scale.x((start + end) / 2)
        inside = (night.seconds >= start) & (night.seconds <= end)
        y = scale.y(float(np.median(night.amps[inside]))) - 9 if inside.any() else scale.top
        if any(abs(x - other) < 11 and abs(y - height) < 11 for other, height in placed):
            continue
        placed.append((x, y))
        ink.append(Disc(x, y, 5.4, fill=PAPER, colour=VERMILLION, line=0.9, role=Role.TAG))
        ink.append(chart_text(x, y + 2.7, str(number), _NUMBER, INK, Role.TAG, middle=True))
    return ink


def _samples_of_legend(y: float, some_charged: bool) -> list[tuple[Plate | Disc | Stroke, str]]:
    number = Disc(9, y - 3, 5.4, fill=PAPER, colour=VERMILLION, line=0.9, role=Role.LEGEND)
    charged = Plate(0, y - 7, 18, 7, fill=_CHARGED, colour=FAINT, line=0.4, role=Role.LEGEND)
    return [
        (Plate(0, y - 7, 18, 7, fill=_SAMPLES, role=Role.LEGEND), "all samples"),
        (Stroke(((0, y - 3), (18, y - 3)), BLUE, 1.1, role=Role.LEGEND), "levels"),
        (number, "event, by its number below"),
        *([(charged, "current into the battery")] if some_charged else []),
    ]
