"""What is left of a feeder's current for the one fuse behind it that nobody may read.

Where every other fuse was read, what is missing there is that one's, or hides where nothing showed. It is told as soon
as the readings that do show can not be off by so much, with whatever takes just that by what was typed in.
"""

from collections.abc import Callable, Iterator
from math import hypot
from typing import NamedTuple

from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.seen.figures_that_fit import CLOSE, LEAST, FigureTaken, figures_at
from circuitmap.diagnosis.seen.missing_behind import hanging, looked_at
from circuitmap.diagnosis.seen.netting import Netted, Segment
from circuitmap.wiring.parts import Fuse


class LeftForOne(NamedTuple):
    """Of what was read at `feeder` `amps` are left for `place`, which nobody may read; `off` is by how much that can be
    off, in A, and `takers` what takes just that there, by what was typed in: any one of them."""

    place: str
    feeder: str
    amps: float
    off: float
    takers: tuple[FigureTaken, ...]


def left_for_one(nets: Netted, tree: PlaceTree, may_read: Callable[[str], bool]) -> tuple[LeftForOne, ...]:
    """For every feeder that was read, and behind which all was read but one fuse."""
    return tuple(_left(nets, tree, may_read))


def _left(nets: Netted, tree: PlaceTree, may_read: Callable[[str], bool]) -> Iterator[LeftForOne]:
    parked = tree.parked
    behind = hanging(nets, tree)
    for segment in nets.segments:
        if segment.amps is None or len(segment.readings) < 2 or not segment.readings[0].shows_current:
            continue
        unread, _, _ = looked_at(segment.place, nets.readings, behind)
        alone = unread[0] if len(unread) == 1 else ""
        if not isinstance(parked.platform.parts.get(alone), Fuse) or may_read(alone):
            continue
        left, off = segment.amps, _off(segment)
        if left >= max(LEAST, off):
            typed = figures_at(parked.circuit, alone, parked.fitting)
            takers = (its for its in typed if its.amps.low - off <= left <= its.amps.high + off)
            yield LeftForOne(alone, segment.place, left, off, tuple(takers))


def _off(segment: Segment) -> float:
    """By how much the readings that show a current can be off together, each by itself: their last digits, the clamp's
    zero, and what a clamp shows of so much. What may hide where nothing showed is left, too, and no error."""
    own = segment.readings[0]
    steps = (reading.half_step for reading in segment.readings if reading.shows_current)
    return hypot(*steps, own.zero, CLOSE * abs(own.amps or 0.0))
