"""Places in a text where the customer may stand, put together: neighbours of one name, and overlapping places."""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterable
from typing import NamedTuple

from circuitmap.jobs.folded import Folded

_BETWEEN = re.compile(r"[\s,.&'\u2019/+_-]{0,3}(?:(?:and|und|et)\s)?")


class Place(NamedTuple):
    """A stretch of a folded text. `whole`: the word stands by itself there, with no other letters joined to it."""

    start: int
    end: int
    sure: bool
    whole: bool = False


def together(its: Folded, places: Iterable[Place]) -> list[Place]:
    """Words of the name one after the other: if one of them is sure, so are its neighbours."""
    ordered = sorted(set(places))
    told = list(ordered)
    for order in (range(1, len(told)), range(len(told) - 2, -1, -1)):
        step = 1 if order.step == 1 else -1
        for n in order:
            one, other = told[n], told[n - step]
            first, second = (other, one) if step == 1 else (one, other)
            if other.sure and not one.sure and one.whole and _BETWEEN.fullmatch(its.text, first.end, second.start):
                told[n] = one._replace(sure=True)
    return told


def joined(its: Folded, places: list[Place]) -> list[Place]:
    """Sure places in order; those that overlap, or have nothing but signs between them, become one."""
    return _merged(places, lambda end, start: start <= end or bool(_BETWEEN.fullmatch(its.text, end, start)))


def _merged(places: list[Place], as_one: Callable[[int, int], bool]) -> list[Place]:
    """Places in order; `as_one` decides, from the end of one and the start of the next, whether they become one."""
    merged: list[Place] = []
    for place in sorted(places):
        if merged and as_one(merged[-1].end, place.start):
            merged[-1] = merged[-1]._replace(end=max(merged[-1].end, place.end))
        else:
            merged.append(place)
    return merged


def grown(sure: list[Place], doubtful: list[Place]) -> list[Place]:
    """The sure places, and every doubtful one that overlaps one of them: a word that contains the name is hidden
    whole."""
    merged = _merged(sure, lambda end, start: start < end)
    ends = [place.end for place in merged]
    found = list(merged)
    for place in doubtful:
        first = bisect_right(ends, place.start)
        if first < len(merged) and merged[first].start < place.end:
            found.append(place._replace(sure=True))
    return found


def apart(doubtful: list[Place], sure: list[Place]) -> list[Place]:
    """Doubtful places that overlap neither a sure place nor each other: of two the one that begins first, and of those
    the longest."""
    kept: list[Place] = []
    waiting = iter(sure)
    ahead = next(waiting, None)
    end = 0
    for place in sorted(doubtful, key=lambda one: (one.start, -one.end)):
        while ahead is not None and ahead.end <= place.start:
            ahead = next(waiting, None)
        if place.start >= end and (ahead is None or place.end <= ahead.start):
            kept.append(place)
            end = place.end
    return kept
