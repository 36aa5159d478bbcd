"""Between which volts a point lies when everything is sound: nine times in ten, and at most.

Nine in ten: 300 sound vehicles drawn from the bounds of each value. At most: the corner of all bounds. A node's volts
are monotone in each resistance taken alone, so the extremes lie at corners; the corner is chosen by the sign of the
gradient (one adjoint solution) until it stays, and where current can go round, each value is also tried the other way.
For loads whose current does not follow the volts in proportion, monotony is not proved: "about".
"""

import math
import random
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.effort import Effort
from circuitmap.quantities import Band
from circuitmap.volts.foreground import Foreground, Solved, ValueSetting, usual_setting

SAMPLES = 300
"""Sound vehicles drawn for `nine in ten` (judgement: its ends are good to a twentieth of its width)."""
MOST_LOOKED = 6_000
"""Solutions for the bounds of one answer; from there on no more corners are tried, and it is said (`cut off`)."""
_CORNERS_AGAIN = 4
SEED = 16
"""The same answer at every asking."""


class VoltBounds(NamedTuple):
    """The volts of one node: usually, nine times in ten, and at most."""

    usual: float
    ninety: Band
    most: Band


class Bounded(NamedTuple):
    """`about`: the corners are not proved. `cut_off`: not all were tried."""

    bounds: dict[int, VoltBounds]
    about: bool
    cut_off: bool


def samples_of(foreground: Foreground, count: int, seed: int = SEED) -> list[ValueSetting]:
    """Sound vehicles: ohms drawn evenly in their logarithm, all else evenly."""
    drawn = random.Random(seed)
    its = foreground
    return [
        ValueSetting(
            tuple(_log(drawn, r.ohms.low, r.ohms.high) for r in its.resistances),
            tuple(_log(drawn, t.takes.low / t.takes.usual, t.takes.high / t.takes.usual) for t in its.takers),
            tuple(_log(drawn, max(b.low, 1e-9), max(b.high, 1e-9)) for b in its.beside),
            tuple(drawn.uniform(*c.volts) for c in its.cells),
            tuple(_log(drawn, c.ohms.low, c.ohms.high) for c in its.cells),
        )
        for _ in range(count)
    ]


def _log(drawn: random.Random, low: float, high: float) -> float:
    return low if low == high else math.exp(drawn.uniform(math.log(low), math.log(high)))


def bounds_of(foreground: Foreground, nodes: Iterable[int]) -> Bounded:
    """The bounds of the volts at these nodes."""
    nodes = tuple(dict.fromkeys(nodes))
    usual = Solved(foreground, usual_setting(foreground))
    seen: dict[int, list[float]] = {node: [] for node in nodes}
    for setting in samples_of(foreground, SAMPLES):
        solved = Solved(foreground, setting, usual)
        for node in nodes:
            seen[node].append(solved.at(node))
    corners = Corners(foreground, Effort(MOST_LOOKED))
    found = {}
    for node in nodes:
        drawn = sorted(seen[node])
        low, high = corners.furthest(node, -1), corners.furthest(node, 1)
        ninety = Band(drawn[SAMPLES // 20], drawn[-1 - SAMPLES // 20])
        found[node] = VoltBounds(usual.at(node), ninety, Band(min(low, drawn[0]), max(high, drawn[-1])))
    return Bounded(found, foreground.curved, corners.effort.used_up)


class Corners:
    """The corners of all bounds of one foreground."""

    def __init__(self, foreground: Foreground, effort: Effort) -> None:
        self.foreground, self.effort = foreground, effort
        its = foreground
        self.lows = ValueSetting(
            tuple(r.ohms.low for r in its.resistances),
            tuple(t.takes.low / t.takes.usual for t in its.takers),
            tuple(b.low for b in its.beside),
            tuple(c.volts.low for c in its.cells),
            tuple(c.ohms.low for c in its.cells),
        )
        self.highs = ValueSetting(
            tuple(r.ohms.high for r in its.resistances),
            tuple(t.takes.high / t.takes.usual for t in its.takers),
            tuple(b.high for b in its.beside),
            tuple(c.volts.high for c in its.cells),
            tuple(c.ohms.high for c in its.cells),
        )
        self._known: dict[ValueSetting, Solved] = {}

    def furthest(self, node: int, sign: int) -> float:
        """The least (`sign` -1) or most (1) volts of a node over all bounds."""
        setting = usual_setting(self.foreground)
        best = -math.inf
        found = setting
        for _ in range(_CORNERS_AGAIN):
            corner = self._corner(self._solved(setting), node, sign)
            value = sign * self._solved(corner).at(node)
            if value <= best + 1e-12:
                break
            best, found, setting = value, corner, corner
        if self.foreground.has_cross_links:
            best = self._flipped(found, node, sign, best)
        return sign * best

    def _solved(self, setting: ValueSetting) -> Solved:
        if setting not in self._known:
            self.effort.spend(1)
            self._known[setting] = Solved(self.foreground, setting)
        return self._known[setting]

    def _corner(self, solved: Solved, node: int, sign: int) -> ValueSetting:
        """Each value at the end to which the gradient points."""
        its = self.foreground
        pull = [0.0] * len(its.nodes)
        row = its.row.get(node, -1)
        if row >= 0:
            pull[row] = 1.0
        adjoint = solved.factor.solve(pull)
        coupled = self._through_converters(solved, adjoint)
        if coupled is not None:
            adjoint = solved.factor.solve([one + more for one, more in zip(pull, coupled, strict=True)])

        def across(a: int, b: int, values: Sequence[float]) -> float:
            rows = its.row.get(a, -1), its.row.get(b, -1)
            return (values[rows[0]] if rows[0] >= 0 else 0.0) - (values[rows[1]] if rows[1] >= 0 else 0.0)

        def pick(low: float, high: float, gradient: float) -> float:
            return high if sign * gradient > 0 else low

        def product(a: int, b: int) -> float:
            return across(a, b, adjoint) * across(a, b, solved.volts)

        lows, highs = self.lows, self.highs
        ohms = [product(r.a, r.b) for r in its.resistances]
        shares = [-product(t.a, t.b) for t in its.takers]
        beside = [-across(b.a, b.b, adjoint) for b in its.beside]
        volts = [across(c.plus, c.minus, adjoint) for c in its.cells]
        given = [solved.given(n) for n in range(len(its.cells))]
        inner = [-pulled * amps for pulled, amps in zip(volts, given, strict=True)]
        return ValueSetting(
            tuple(map(pick, lows.ohms, highs.ohms, ohms)),
            tuple(map(pick, lows.shares, highs.shares, shares)),
            tuple(map(pick, lows.beside, highs.beside, beside)),
            tuple(map(pick, lows.volts, highs.volts, volts)),
            tuple(map(pick, lows.inner, highs.inner, inner)),
        )

    def _through_converters(self, solved: Solved, adjoint: Sequence[float]) -> list[float] | None:
        """How the volts before converters hang on those behind, by what they take: as one more pull there."""
        its = self.foreground
        more: list[float] | None = None
        for n, cell in enumerate(its.cells):
            before = solved.converting.before(n)
            if before is None:
                continue
            a, b, plus, minus = (its.row.get(node, -1) for node in (before.a, before.b, cell.plus, cell.minus))
            there = solved.at(before.a) - solved.at(before.b)
            pulled = (adjoint[a] if a >= 0 else 0.0) - (adjoint[b] if b >= 0 else 0.0)
            amount = pulled * solved.setting.volts[n] / max(there, 1e-3) / solved.setting.inner[n]
            more = more or [0.0] * len(its.nodes)
            for row, sign in ((plus, 1.0), (minus, -1.0)):
                if row >= 0:
                    more[row] += sign * amount
        return more

    def _flipped(self, corner: ValueSetting, node: int, sign: int, best: float) -> float:
        """Single values tried at their other end, as long as that helps."""
        better = True
        while better:
            better = False
            for n, (low, high) in enumerate(zip(self.lows.ohms, self.highs.ohms, strict=True)):
                if self.effort.used_up:
                    return best
                ohms = list(corner.ohms)
                ohms[n] = low if ohms[n] == high else high
                other = ValueSetting(tuple(ohms), corner.shares, corner.beside, corner.volts, corner.inner)
                value = sign * self._solved(other).at(node)
                if value > best + 1e-9:
                    best, corner, better = value, other, True
        return best
