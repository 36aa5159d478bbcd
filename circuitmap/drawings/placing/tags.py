"""Where the tags of wires go in a channel, so that none covers another tag or a foreign wire.

A channel has a strip of tags below its upper edge and one above its lower edge, with the tracks between them. In a
strip all wires run vertically. A tag lies across its own wire, shifted aside if need be; where there is no room
between the neighbours it stands upright, along the wire.
"""

from collections.abc import Sequence
from typing import NamedTuple

TAG_HEIGHT = 11.0
ROW = 13.0
_KEEP_OFF = 3.0
_MOST_ROWS = 3


class Wish(NamedTuple):
    """A tag wanted on the vertical at `x`; `entry` is the key of its wire."""

    entry: str
    x: float
    width: float


class Tag(NamedTuple):
    """A tag in a strip: its middle, and its top measured from the top of the strip."""

    entry: str
    x: float
    top: float
    width: float
    height: float
    upright: bool


class TagStrip(NamedTuple):
    height: float
    tags: tuple[Tag, ...]


def strip_of(wishes: Sequence[Wish], verticals: Sequence[float]) -> TagStrip:
    """Place the tags wanted in one strip; `verticals` are the places of all wires that run through it."""
    lying: list[tuple[Wish, float, int]] = []
    standing: list[tuple[Wish, float]] = []
    for wish in sorted(wishes):
        found = _row_for(wish, lying, standing, verticals)
        if found is None:
            standing.append((wish, 0.0))
        else:
            lying.append((wish, *found))
    rows = max((row for _, _, row in lying), default=-1) + 1
    longest = max((wish.width for wish, _ in standing), default=0.0)
    height = max(rows * ROW, longest + 2)
    tags = [Tag(w.entry, x, row * ROW + 1, w.width, TAG_HEIGHT, False) for w, x, row in lying]
    tags += [Tag(w.entry, w.x, (height - w.width) / 2, TAG_HEIGHT, w.width, True) for w, _ in standing]
    return TagStrip(height if tags else 0.0, tuple(tags))


def _row_for(
    wish: Wish,
    lying: Sequence[tuple[Wish, float, int]],
    standing: Sequence[tuple[Wish, float]],
    verticals: Sequence[float],
) -> tuple[float, int] | None:
    """The middle and row of a lying tag, as near to its wire as it can be; None if there is no room."""
    others = [x for x in verticals if abs(x - wish.x) > 0.5]
    upright = [other.x for other, _ in standing]
    half = wish.width / 2
    farthest = max(0.0, half - 6)
    shifts = sorted({0.0, farthest, -farthest, farthest / 2, -farthest / 2, *_snug(wish, half, others)}, key=abs)
    for row in range(_MOST_ROWS):
        for shift in shifts:
            if abs(shift) > farthest:
                continue
            x = wish.x + shift
            clear = all(abs(x - other) >= half + _KEEP_OFF for other in others)
            clear = clear and all(abs(x - other) >= half + TAG_HEIGHT / 2 + 2 for other in upright)
            same_row = (abs(x - at) >= half + other.width / 2 + 3 for other, at, taken in lying if taken == row)
            if clear and all(same_row):
                return x, row
    return None


def _snug(wish: Wish, half: float, others: Sequence[float]) -> list[float]:
    """Shifts that put the tag just beside its nearest neighbours."""
    shifts = []
    right = min((x for x in others if x > wish.x), default=None)
    left = max((x for x in others if x < wish.x), default=None)
    if right is not None:
        shifts.append(right - _KEEP_OFF - half - wish.x)
    if left is not None:
        shifts.append(left + _KEEP_OFF + half - wish.x)
    return shifts
