"""Takes the small bends out of an arrangement: parts, lanes and the pins of boxes are shifted sideways, in the room
that their neighbours leave and without changing places with them, so that fewer wires bend.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

_SAME = 0.25
_ROUNDS = 6


class Alignable(NamedTuple):
    """Something in a row: how far it reaches on both sides of its middle, and the gap it wants to its neighbours."""

    name: str
    row: int
    half: float
    gap: float


class Tie(NamedTuple):
    """A wire between two items, with its distance to the right of the middle of each. A bend in it costs its
    `weight`."""

    one: str
    one_at: float
    two: str
    two_at: float
    weight: float = 1.0


def straightened(items: Sequence[Alignable], ties: Sequence[Tie], middles: Mapping[str, float]) -> dict[str, float]:
    """New middles of all items."""
    work = _Work(items, ties, middles)
    for _ in range(_ROUNDS):
        before = work.middles.copy()
        for item in items:
            work.try_to_move([item.name])
        for block in work.blocks():
            if len(block) > 1:
                work.try_to_move(block)
        if work.middles == before:
            break
    return work.middles


class _Work:
    def __init__(self, items: Sequence[Alignable], ties: Sequence[Tie], middles: Mapping[str, float]) -> None:
        self.items = {item.name: item for item in items}
        self.middles = {item.name: middles[item.name] for item in items}
        self.ties_of: dict[str, list[Tie]] = {item.name: [] for item in items}
        for tie in ties:
            self.ties_of[tie.one].append(tie)
            self.ties_of[tie.two].append(tie)
        rows: dict[int, list[str]] = {}
        for item in items:
            rows.setdefault(item.row, []).append(item.name)
        self.before: dict[str, str] = {}
        self.after: dict[str, str] = {}
        for names in rows.values():
            names.sort(key=lambda name: (self.middles[name], name))
            for left, right in pairwise(names):
                self.after[left], self.before[right] = right, left

    def blocks(self) -> list[list[str]]:
        """Items that straight wires join."""
        seen: set[str] = set()
        blocks = []
        for name in self.items:
            if name in seen:
                continue
            block, waiting = [], [name]
            seen.add(name)
            while waiting:
                one = waiting.pop()
                block.append(one)
                for tie in self.ties_of[one]:
                    other = tie.two if tie.one == one else tie.one
                    if other not in seen and abs(self._bend(tie, {}, 0.0)) < _SAME:
                        seen.add(other)
                        waiting.append(other)
            blocks.append(block)
        return blocks

    def try_to_move(self, block: Sequence[str]) -> None:
        """Move a block to where it straightens most wires that leave it, if there is room."""
        inside = dict.fromkeys(block, True)
        outer = [tie for name in block for tie in self.ties_of[name] if not (tie.one in inside and tie.two in inside)]
        low, high = self._room(block, inside)
        best_score, best = self._score(outer, inside, 0.0), 0.0
        for shift in sorted({self._needed(tie, inside) for tie in outer}, key=abs):
            if low <= shift <= high and abs(shift) >= _SAME:
                score = self._score(outer, inside, shift)
                if score < best_score:
                    best_score, best = score, shift
        if best:
            for name in block:
                self.middles[name] += best

    def _score(self, outer: Iterable[Tie], inside: Mapping[str, bool], shift: float) -> tuple[float, float]:
        bends = [(tie.weight, abs(self._bend(tie, inside, shift))) for tie in outer]
        cost = sum(weight for weight, bend in bends if bend >= _SAME)
        return round(cost, 3), round(sum(weight * bend for weight, bend in bends), 3)

    def _bend(self, tie: Tie, inside: Mapping[str, bool], shift: float) -> float:
        one = self.middles[tie.one] + tie.one_at + (shift if tie.one in inside else 0.0)
        two = self.middles[tie.two] + tie.two_at + (shift if tie.two in inside else 0.0)
        return one - two

    def _needed(self, tie: Tie, inside: Mapping[str, bool]) -> float:
        bend = self._bend(tie, inside, 0.0)
        return -bend if tie.one in inside else bend

    def _room(self, block: Sequence[str], inside: Mapping[str, bool]) -> tuple[float, float]:
        low, high = -1e9, 1e9
        for name in block:
            item, x = self.items[name], self.middles[name]
            left, right = self.before.get(name), self.after.get(name)
            if left and left not in inside:
                other = self.items[left]
                low = max(low, self.middles[left] + other.half + max(item.gap, other.gap) + item.half - x)
            if right and right not in inside:
                other = self.items[right]
                high = min(high, self.middles[right] - other.half - max(item.gap, other.gap) - item.half - x)
        return min(low, 0.0), max(high, 0.0)


def slid(
    places: Sequence[float], wanted: Sequence[float | None], pitches: Sequence[float], low: float, high: float
) -> list[float]:
    """Places of pins along one side of a box, moved to where their wires come from as far as order, the pitch to the
    next pin, and the corners `low` and `high` allow. `pitches[n]` is the least distance between pin n and pin n + 1."""
    new = list(places)
    for number, goal in sorted(
        enumerate(wanted), key=lambda entry: (abs((entry[1] or 0) - places[entry[0]]), entry[0])
    ):
        if goal is None:
            continue
        least = new[number - 1] + pitches[number - 1] if number else low
        most = new[number + 1] - pitches[number] if number + 1 < len(new) else high
        if least <= goal <= most:
            new[number] = goal
    return new
