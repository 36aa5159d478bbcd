"""What came and went? Each fall is paired with the rise that it ends; the rest is the staircase, or still on."""

from collections.abc import Sequence
from itertools import pairwise
from math import sqrt
from typing import NamedTuple

from circuitmap.recording.levels import FoundLevel

_RELATIVE, _ABSOLUTE = 0.03, 0.002
_MOST_AT_ONCE = 4
_KIND_RELATIVE, _KIND_ABSOLUTE = 0.04, 0.004


class FoundEvent(NamedTuple):
    """Something that rose at sample `start` and fell again at `end`, by `height` A. `parts` are the rises it came up
    in, first to last; `peak` is its highest sample where it stood out."""

    start: int
    end: int
    height: float
    parts: tuple[float, ...] = ()
    peak: float | None = None


class LoneStep(NamedTuple):
    """A rise, or a fall, that nothing ends."""

    at: int
    height: float


class Paired(NamedTuple):
    """All steps of a log, told apart."""

    events: tuple[FoundEvent, ...]
    falls: tuple[LoneStep, ...]
    still_on: tuple[LoneStep, ...]


class _Rise(NamedTuple):
    at: int
    height: float
    error: float
    peak: float | None


def paired(levels: Sequence[FoundLevel], noise: float) -> Paired:
    """Pairs falls with rises: one with one, one with several that came up together, several with one."""
    events: list[FoundEvent] = []
    rises: list[_Rise] = []
    falls: list[LoneStep] = []
    partial: list[_Rise] = []
    for before, level in pairwise(levels):
        error = noise * sqrt(1 / (before.end - before.start) + 1 / (level.end - level.start))
        this = _Rise(level.start, level.step, error, level.peak)
        if level.step > 0:
            rises.append(this)
            partial.clear()
            continue
        partial.append(this._replace(height=-level.step))
        falls.append(LoneStep(level.start, level.step))
        event, used = _ended_by(rises, partial)
        if event is not None:
            events.append(event)
            del falls[-used:]
            partial.clear()
    lone = [LoneStep(rise.at, rise.height) for rise in rises]
    return Paired(tuple(sorted(events)), tuple(falls), tuple(lone))


def _ended_by(rises: list[_Rise], partial: list[_Rise]) -> tuple[FoundEvent | None, int]:
    """The event that ends with the last of these falls, and how many of them it takes; its rises are taken out."""
    last = partial[-1]
    for count in range(1, _MOST_AT_ONCE + 1):
        for back in range(len(rises) - count, -1, -1):
            some = rises[back : back + count]
            if count > 1 and back + count != len(rises):
                continue
            if _alike(sum(rise.height for rise in some), last.height, [*some, last]):
                del rises[back : back + count]
                return _event(some, last), 1
    for count in range(2, min(len(partial), _MOST_AT_ONCE) + 1):
        falls = partial[-count:]
        if rises and _alike(rises[-1].height, sum(fall.height for fall in falls), [rises[-1], *falls]):
            return _event([rises.pop()], last), count
    return None, 0


def _event(some: list[_Rise], last: _Rise) -> FoundEvent:
    peaks = [rise.peak for rise in some if rise.peak is not None]
    parts = tuple(rise.height for rise in some)
    return FoundEvent(some[0].at, last.at, sum(parts), parts, max(peaks) if peaks else None)


def _alike(one: float, other: float, steps: list[_Rise]) -> bool:
    error = sqrt(sum(step.error * step.error for step in steps))
    return abs(one - other) <= 3.0 * error + _RELATIVE * max(one, other) + _ABSOLUTE


def alike(height: float, other: float) -> bool:
    """Whether two heights can be of one thing: within 4 % and 4 mA."""
    return abs(height - other) <= _KIND_RELATIVE * other + _KIND_ABSOLUTE


def kinds_of(events: Sequence[FoundEvent]) -> tuple[tuple[FoundEvent, ...], ...]:
    """Events of one height, the highest first: within 4 % and 4 mA of their mean."""
    kinds: list[list[FoundEvent]] = []
    for event in sorted(events, key=lambda its: -its.height):
        if kinds:
            mean = sum(its.height for its in kinds[-1]) / len(kinds[-1])
            if alike(event.height, mean):
                kinds[-1].append(event)
                continue
        kinds.append([event])
    return tuple(tuple(sorted(kind)) for kind in kinds)
