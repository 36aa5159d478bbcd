"""Wires across a channel: which horizontal track each takes, so that none hides another and few cross.

A strand joins points on the upper and lower edge of one channel, with one horizontal piece and a vertical piece to each
point. Tracks are counted from the top.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

CLEARANCE = 7.0
"""Vertical pieces nearer to each other than this would touch, halos and edges included."""
_TOUCHING = 1000


class TrackPoint(NamedTuple):
    x: float
    on_upper_edge: bool


@dataclass(frozen=True)
class Strand:
    """`half_of` is set, to a number, on the two halves of a strand that changes its track on the way; the half that
    begins at the upper edge has `is_upper_half`."""

    points: tuple[TrackPoint, ...]
    half_of: int = -1
    is_upper_half: bool = False

    @cached_property
    def left(self) -> float:
        return min(point.x for point in self.points)

    @cached_property
    def right(self) -> float:
        return max(point.x for point in self.points)

    @property
    def is_straight(self) -> bool:
        """Whether it goes straight down: then it needs no track."""
        return self.left == self.right and len({point.on_upper_edge for point in self.points}) == 2


def tracks_of(strands: Sequence[Strand]) -> list[int]:
    """The track of each strand, 0 for the highest; straight ones get 0 too and take no room."""
    bent = [number for number, strand in enumerate(strands) if not strand.is_straight]
    order = _few_crossings(strands, _first_guess(strands, bent))
    tracks = [0] * len(strands)
    done: list[int] = []
    for number in order:
        mine = strands[number]
        above = [
            tracks[other]
            for other in done
            if strands[other].left - CLEARANCE < mine.right and mine.left - CLEARANCE < strands[other].right
        ]
        tracks[number] = max(above, default=-1) + 1
        done.append(number)
    return tracks


def untangled(strands: Sequence[Strand]) -> tuple[list[Strand], list[int], dict[int, tuple[int, float]]]:
    """The strands, their tracks, and the strands that had to be cut in two because they would have lain on another: by
    number of such a strand, the number of its lower half and the place where it changes over."""
    strands = list(strands)
    tracks = tracks_of(strands)
    changes: dict[int, tuple[int, float]] = {}
    for _ in range(len(strands)):
        number = _tangled(strands, tracks, changes)
        if number is None:
            break
        upper, lower = sorted(strands[number].points, key=lambda point: not point.on_upper_edge)
        middle = _free_place(strands, (upper.x + lower.x) / 2)
        strands[number] = Strand((upper, TrackPoint(middle, False)), number, True)
        strands.append(Strand((TrackPoint(middle, True), lower), number))
        changes[number] = (len(strands) - 1, middle)
        tracks = tracks_of(strands)
    return strands, tracks, changes


def _tangled(strands: Sequence[Strand], tracks: Sequence[int], changes: dict[int, tuple[int, float]]) -> int | None:
    """A strand that lies on another and goes from one point above to one below, so that it can be cut."""
    bent = [number for number, strand in enumerate(strands) if not strand.is_straight]
    for one in bent:
        for two in bent:
            if tracks[one] < tracks[two] and _cost(strands[one], strands[two]) >= _TOUCHING:
                for number in (two, one):
                    edges = [point.on_upper_edge for point in strands[number].points]
                    if len(edges) == 2 and edges[0] != edges[1] and strands[number].half_of < 0:
                        return number
    return None


def _free_place(strands: Sequence[Strand], wanted: float) -> float:
    """The nearest place to `wanted` where no strand has a vertical piece."""
    taken = sorted({point.x for strand in strands for point in strand.points})
    places = [wanted, taken[0] - CLEARANCE, taken[-1] + CLEARANCE]
    places += [x + side for x in taken for side in (-CLEARANCE, CLEARANCE)]
    free = [x for x in places if all(abs(x - other) >= CLEARANCE for other in taken)]
    return min(free, key=lambda x: (abs(x - wanted), x))


def _first_guess(strands: Sequence[Strand], bent: list[int]) -> list[int]:
    """Left-going strands nest with the leftmost on top, right-going ones with the rightmost on top."""

    def key(number: int) -> tuple[float, int]:
        strand = strands[number]
        upper = [point.x for point in strand.points if point.on_upper_edge]
        lower = [point.x for point in strand.points if not point.on_upper_edge]
        if not upper or not lower:
            return (strand.left, number)
        goes_right = sum(lower) / len(lower) > sum(upper) / len(upper)
        return (-strand.right if goes_right else strand.left, number)

    return sorted(bent, key=key)


def _few_crossings(strands: Sequence[Strand], order: list[int]) -> list[int]:
    """Move one strand after another to where it costs least, until nothing improves."""
    cost = {(a, b): _cost(strands[a], strands[b]) for a in order for b in order if a != b}
    for _ in range(4):
        moved = False
        for number in list(order):
            rest = [other for other in order if other != number]
            below_all = sum(cost[number, other] for other in rest)
            best, best_at, running = below_all, 0, below_all
            here = order.index(number)
            at_present = below_all
            for at, other in enumerate(rest):
                running += cost[other, number] - cost[number, other]
                if at + 1 == here:
                    at_present = running
                if running < best:
                    best, best_at = running, at + 1
            if best < at_present:
                rest.insert(best_at, number)
                order = rest
                moved = True
        if not moved:
            break
    return order


def _cost(upper: Strand, lower: Strand) -> int:
    """Crossings of two strands when the first runs above the second; touching verticals cost as much as many
    crossings."""
    if upper.half_of >= 0 and upper.half_of == lower.half_of:
        return 0 if upper.is_upper_half else _TOUCHING
    cost = 0
    if upper.right + CLEARANCE <= lower.left or lower.right + CLEARANCE <= upper.left:
        return cost
    for point in upper.points:
        if not point.on_upper_edge:
            if any(p.on_upper_edge and abs(p.x - point.x) < CLEARANCE for p in lower.points):
                cost += _TOUCHING
            elif lower.left - CLEARANCE < point.x < lower.right + CLEARANCE:
                cost += 1 if lower.left < point.x < lower.right else 3
    for point in lower.points:
        if point.on_upper_edge and upper.left - CLEARANCE < point.x < upper.right + CLEARANCE:
            cost += 1 if upper.left < point.x < upper.right else 3
    return cost
