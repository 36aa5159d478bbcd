"""A sum behind a feeder that goes together with it only because nobody knows a fuse's cold resistance any better: that
is how a row looks that was counted from the wrong end, or a probe at the fuse beside."""

from collections.abc import Container
from math import hypot
from typing import NamedTuple

from circuitmap.diagnosis.seen.netting import Netted

STRAINED = 1.5
"""From so many standard deviations of all errors together on: one sum in fifteen is as far off with nothing misread
(judgement)."""


class OnlyJust(NamedTuple):
    """`found` A were read behind `place`, which carries `amps`; `by` are the fuses whose resistance may be so far off,
    the one that may be off by most first."""

    place: str
    amps: float
    found: float
    by: tuple[str, ...]


def only_just(nets: Netted, read_twice: Container[str] = frozenset()) -> tuple[OnlyJust, ...]:
    """The feeders with more behind them than they carry, by more than the meters can be off, and by less than the
    spread of fuses' resistances adds to that. Where the one that may be off by most was read
    twice it is no slip."""
    found = []
    for segment in nets.segments:
        own, *branches = segment.readings
        by_drop = [r for r in branches if r.resistance is not None and r.shows_current]
        if segment.amps is None or own.amps is None or segment.amps >= 0.0 or not by_drop:
            continue
        of_meters = hypot(
            *(r.half_step + 2.0 * hypot(r.zero, r.meter.relative * (r.amps or 0.0)) for r in segment.readings)
        )
        more = -segment.amps
        if more <= of_meters or more < STRAINED / 2.0 * segment.error:
            continue
        by_drop.sort(key=lambda r: (-r.relative * (r.amps or 0.0), r.place))
        if by_drop[0].place in read_twice:
            continue
        behind = sum(r.amps or 0.0 for r in branches)
        found.append(OnlyJust(segment.place, own.amps, behind, tuple(r.place for r in by_drop)))
    return tuple(found)
