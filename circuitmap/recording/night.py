"""One night: locked and asleep, the floor, what came and went, what was still on, and what it cannot show."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from circuitmap.quantities import Band
from circuitmap.recording.cutting import Sums, cuts_of, price_of
from circuitmap.recording.events import FoundEvent, LoneStep, Paired, alike, kinds_of, paired
from circuitmap.recording.levels import FoundLevel, Single, levels_of
from circuitmap.recording.noise import display_step, noise_of, smallest_shown
from circuitmap.recording.recorded import Recording
from circuitmap.recording.rhythm import Rhythm, rhythm_of

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

MOST_CUT = 2_000_000
"""Samples that are cut as they are; of more, as many together as make that few are averaged first, and it is said."""
CHARGING = -0.05
"""Below this, A, current flows into the battery: a clamp's zero is smaller (judgement)."""
LEAST_SETTLED = 600.0
"""A shorter settled part, s, says nothing of a floor or a mean (judgement)."""
HIDDEN, MOST_HIDDEN = 0.03, 1000
_OPENED = 0.7
MOST_OPEN = 3600.0
"""Longer than this, s, nobody leaves the recorder on a vehicle that was opened (judgement)."""
_FLOOR_SHARE = 0.05
_HELD_POINTS = 200_000


class EventKind(NamedTuple):
    """Events of one height: how often, for how long, how far apart. `share` is its part of the mean of the settled
    part; `on_at_end` if the last was not over when the log ended."""

    events: tuple[FoundEvent, ...]
    height: float
    shortest: float
    longest: float
    rhythm: Rhythm
    share: float
    under_charge: bool
    on_at_end: bool = False


class ChargedSpan(NamedTuple):
    """From one time to another current flowed into the battery, s."""

    start: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Night:
    """What a log shows. Times are in seconds from the first sample, samples are counted in `amps`.

    `locked` is the first fall, `asleep` the last one of the staircase; None where there is none. `settled` is the part
    from asleep to the end, or to where it was opened again. `mean` is over `mean_over`, whole cycles where what takes
    most comes in cycles; a band where only least and most of each interval are known. `hidden` are intervals whose most
    stands out, although their mean does not. `whole_mean` is from the first fall on.
    """

    seconds: "Floats"
    amps: "Floats"
    levels: tuple[FoundLevel, ...]
    singles: tuple[Single, ...]
    stairs: tuple[LoneStep, ...]
    kinds: tuple[EventKind, ...]
    still_on: tuple[LoneStep, ...]
    opened: float | None
    settled: tuple[float, float]
    floor: float | None
    drift: float
    mean: Band | None
    mean_over: tuple[float, float]
    whole_mean: float | None
    hidden: tuple[int, ...]
    charged: tuple[ChargedSpan, ...]
    noise: float
    step: float
    smallest: tuple[tuple[float, float], ...]
    distance: float
    averaged: int

    @property
    def locked(self) -> float | None:
        return self.at(self.stairs[0].at) if self.stairs else None

    @property
    def asleep(self) -> float | None:
        return self.at(self.stairs[-1].at) if self.stairs else None

    def at(self, sample: int) -> float:
        return float(self.seconds[min(sample, self.seconds.size - 1)])


def night_of(recording: Recording) -> Night:
    """Cuts a recording into levels and tells them apart."""
    seconds, amps, distance, averaged = _row(recording)
    noise = noise_of(amps)
    sums = Sums(amps)
    cuts = cuts_of(sums, noise, price_of(noise, amps.size)) if noise > 0 else []
    levels, singles = levels_of(amps, cuts, noise)
    hidden = _hidden(recording, amps, levels, noise)
    singles = tuple(single for single in singles if single.start not in hidden)
    found = paired(levels, noise)
    end = float(seconds[-1]) + distance
    charged = _charged(levels, seconds, end)
    opened = _opened(levels, found, seconds, end)
    alike_ones = kinds_of([event for event in found.events if opened is None or event.start < opened])
    stairs = tuple(fall for fall in found.falls if opened is None or fall.at < opened)
    stairs = _not_over(alike_ones, stairs, found.still_on)
    stairs = tuple(fall for fall in stairs if not _within(charged, seconds, fall.at))
    start = float(seconds[stairs[-1].at]) if stairs else 0.0
    stop = float(seconds[opened]) if opened is not None else end
    floor, drift = _floor(levels, seconds, start, stop, distance)
    still = tuple(rise for rise in found.still_on if opened is None or rise.at < opened)
    still = tuple(rise for rise in still if not _within(charged, seconds, rise.at))
    gaps = recording.gaps if averaged == 1 else ()
    long_enough = stop - start >= LEAST_SETTLED
    mean = _mean(seconds, amps, distance, (start, stop), charged, gaps) if long_enough else None
    kinds = tuple(_kind(events, seconds, distance, end, start, stop, mean, charged) for events in alike_ones)
    kinds, still = _once_more(kinds, still)
    over = _cycles(kinds, seconds, start, stop)
    if mean is not None and over != (start, stop):
        mean = _mean(seconds, amps, distance, over, charged, gaps)
    band = None if mean is None else Band(mean, mean)
    if band is not None and recording.least is not None and not recording.has_mean:
        low = _mean(seconds, recording.least, distance, over, charged, gaps)
        band = Band(band.low if low is None else low, band.high)
    first = float(seconds[stairs[0].at]) if stairs else 0.0
    lengths = (1.0, 60.0, 600.0) if distance <= 1.0 else (distance, 10 * distance)
    return Night(
        seconds=seconds,
        amps=amps,
        levels=levels,
        singles=singles,
        stairs=stairs,
        kinds=kinds,
        still_on=still,
        opened=None if opened is None else float(seconds[opened]),
        settled=(start, stop),
        floor=floor if long_enough else None,
        drift=drift if long_enough else 0.0,
        mean=band,
        mean_over=over,
        whole_mean=_mean(seconds, amps, distance, (first, stop), charged, gaps),
        hidden=hidden,
        charged=charged,
        noise=noise,
        step=display_step(amps),
        smallest=tuple(
            (length, smallest_shown(noise, amps.size, max(1, round(length / distance))))
            for length in lengths
            if distance > 0 and length < end and not recording.held
        ),
        distance=distance,
        averaged=averaged,
    )


def _row(recording: Recording) -> "tuple[Floats, Floats, float, int]":
    """Samples evenly apart: values written on change are held, very many are averaged."""
    seconds, amps, distance = recording.seconds, recording.amps, recording.distance
    if recording.held:
        distance = max(1.0, float(seconds[-1]) / _HELD_POINTS)
        even = np.arange(0.0, float(seconds[-1]) + distance / 2, distance)
        return even, amps[np.searchsorted(seconds, even, side="right") - 1], distance, 1
    together = -(-amps.size // MOST_CUT)
    if together > 1:
        count = amps.size // together
        seconds = seconds[: count * together : together]
        amps = amps[: count * together].reshape(count, together).mean(axis=1)
        distance *= together
    return seconds, amps, distance, together


def _charged(levels: tuple[FoundLevel, ...], seconds: "Floats", end: float) -> tuple[ChargedSpan, ...]:
    spans: list[ChargedSpan] = []
    for level in levels:
        if level.amps > CHARGING:
            continue
        start = float(seconds[level.start])
        stop = float(seconds[level.end]) if level.end < seconds.size else end
        if spans and spans[-1].end >= start:
            spans[-1] = ChargedSpan(spans[-1].start, stop)
        else:
            spans.append(ChargedSpan(start, stop))
    return tuple(spans)


def _within(charged: tuple[ChargedSpan, ...], seconds: "Floats", at: int) -> bool:
    when = float(seconds[min(at, seconds.size - 1)])
    return any(span.start <= when <= span.end for span in charged)


def _opened(levels: tuple[FoundLevel, ...], found: Paired, seconds: "Floats", end: float) -> int | None:
    """Where the vehicle was opened again: the last rise that nothing ends, as high as it was before it was locked, not
    long before the recorder was stopped. What came on earlier, and stayed on for hours, is a draw."""
    falls, still_on = found.falls, found.still_on
    if not falls or not still_on:
        return None
    before = next(level.amps for level in levels if level.end >= falls[0].at)
    for rise in still_on:
        top = max(level.amps for level in levels if level.start >= rise.at)
        soon = end - float(seconds[rise.at]) <= MOST_OPEN
        if soon and rise.at > falls[-1].at and top >= _OPENED * before and rise.height >= _OPENED * before:
            return rise.at
    return None


def _not_over(
    kinds: tuple[tuple[FoundEvent, ...], ...], falls: tuple[LoneStep, ...], still_on: tuple[LoneStep, ...]
) -> tuple[LoneStep, ...]:
    """The falls that are no step of falling asleep: what comes again and again had come once more, and was on its way
    down when the log ended."""
    once_more = [
        rise.at
        for events in kinds
        for rise in still_on
        if len(events) > 1 and alike(rise.height, events[-1].height) and rise.at > events[-1].start
    ]
    return tuple(fall for fall in falls if not any(fall.at > at for at in once_more))


def _floor(
    levels: tuple[FoundLevel, ...], seconds: "Floats", start: float, stop: float, distance: float
) -> tuple[float | None, float]:
    """The lowest level that holds for some of the settled part, and how far it moved from first to last."""
    held: list[tuple[float, float, float]] = []
    for level in levels:
        first = max(start, float(seconds[level.start]))
        last = min(stop, float(seconds[level.end - 1]) + distance)
        if last > first and level.amps > CHARGING:
            held.append((level.amps, last - first, level.drift))
    if not held:
        return None, 0.0
    whole = sum(length for _, length, _ in held)
    reached = 0.0
    lowest = min(held)[0]
    for amps, length, _ in sorted(held):
        reached += length
        if reached >= _FLOOR_SHARE * whole:
            lowest = amps
            break
    near = [its for its in held if abs(its[0] - lowest) <= 0.02 + 0.1 * abs(lowest)]
    total = sum(length for _, length, _ in near)
    drift = near[-1][0] + near[-1][2] / 2 - near[0][0] + near[0][2] / 2 if near else 0.0
    return sum(amps * length for amps, length, _ in near) / total, drift


def _mean(
    seconds: "Floats",
    amps: "Floats",
    distance: float,
    over: tuple[float, float],
    charged: tuple[ChargedSpan, ...],
    gaps: tuple[tuple[int, float], ...],
) -> float | None:
    """The mean from one time to another over real time, without gaps and without what was charged."""
    start, stop = over
    holds = np.diff(seconds, append=seconds[-1] + distance)
    for place, missing in gaps:
        holds[place] = max(0.0, holds[place] - missing)
    counts = (seconds >= start) & (seconds < stop)
    for span in charged:
        counts &= (seconds < span.start) | (seconds >= span.end)
    time = float(holds[counts].sum())
    return float((amps[counts] * holds[counts]).sum()) / time if time > 0 else None


def _once_more(
    kinds: tuple[EventKind, ...], still: tuple[LoneStep, ...]
) -> tuple[tuple[EventKind, ...], tuple[LoneStep, ...]]:
    """What came and went before, and has come once more when the log ends, is of that kind and does not stay on."""
    left = list(still)
    told = []
    for kind in kinds:
        again = [rise for rise in left if len(kind.events) > 1 and alike(rise.height, kind.height)]
        again = [rise for rise in again if rise.at > kind.events[-1].end]
        left = [rise for rise in left if rise not in again]
        told.append(kind._replace(on_at_end=bool(again)))
    return tuple(told), tuple(left)


def _cycles(kinds: tuple[EventKind, ...], seconds: "Floats", start: float, stop: float) -> tuple[float, float]:
    """Whole cycles of what takes most, where that comes in cycles; else all of the settled part."""
    most = max(kinds, key=lambda kind: kind.share, default=None)
    if most is None or most.share < 0.2 or most.rhythm.kind not in ("period", "trend"):
        return start, stop
    starts = [float(seconds[event.start]) for event in most.events if start <= float(seconds[event.start]) < stop]
    return (starts[0], starts[-1]) if len(starts) > 3 else (start, stop)


def _hidden(recording: Recording, amps: "Floats", levels: tuple[FoundLevel, ...], noise: float) -> tuple[int, ...]:
    """Intervals in which something came and went: their most stands out, their mean hardly does."""
    if recording.most is None or not recording.has_mean or recording.most.size != amps.size:
        return ()
    apart = recording.most - amps
    apart[[level.start for level in levels]] = 0.0
    usual = float(np.median(apart))
    return tuple(int(at) for at in np.nonzero(apart > usual + max(8.0 * noise, HIDDEN))[0][:MOST_HIDDEN])


def _kind(
    events: tuple[FoundEvent, ...],
    seconds: "Floats",
    distance: float,
    end: float,
    start: float,
    stop: float,
    mean: float | None,
    charged: tuple[ChargedSpan, ...],
) -> EventKind:
    def when(sample: int) -> float:
        return float(seconds[sample]) if sample < seconds.size else end

    lengths = [when(event.end) - when(event.start) for event in events]
    height = sum(event.height for event in events) / len(events)
    charge = sum(
        event.height * length
        for event, length in zip(events, lengths, strict=True)
        if start <= when(event.start) < stop
    )
    whole = (mean or 0.0) * (stop - start - sum(span.end - span.start for span in charged if span.start >= start))
    return EventKind(
        events=events,
        height=height,
        shortest=min(lengths),
        longest=max(lengths),
        rhythm=rhythm_of([when(event.start) for event in events], [when(event.end) for event in events], distance),
        share=min(1.0, charge / whole) if whole > 0 else 0.0,
        under_charge=all(_within(charged, seconds, event.start) for event in events),
    )
