"""The volts at every node of a net, and how they move with each of its values.

Loads whose current does not follow the volts in proportion are looked at again and again: at the volts last found each
is the conductance that takes its current (the chord), which keeps the matrix positive definite. A node that nothing
joins to the reference has no volts: it floats.
"""

import math
from collections import deque
from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.volts.converting import Converting
from circuitmap.volts.elimination import Elimination, Factor
from circuitmap.volts.net import CurrentTaker, ResistanceNet

CLOSE = 1e-9
"""Volts by which two looks may differ for the second to be the last."""
MOST_LOOKS = 120


class Values(NamedTuple):
    """One set of values of a net: ohms of each resistance (0 or less: open), share of the usual current of each taker,
    volts and inner ohms of each cell."""

    ohms: tuple[float, ...]
    shares: tuple[float, ...]
    volts: tuple[float, ...]
    inner: tuple[float, ...]


_DARK, _BRIGHT = 0.01, 0.9
"""Shares of its nominal volts between which a filament glows by halves (judgement)."""
OPEN = -1.0
"""Ohms of something interrupted."""


class Operating(NamedTuple):
    """What was found: the volts of each node (None: it floats), the current in each resistance from `a` to `b`, in each
    taker, from each cell, and whether the last two looks agreed."""

    volts: tuple[float | None, ...]
    amps: tuple[float, ...]
    taken: tuple[float, ...]
    given: tuple[float, ...]
    settled: bool
    factor: Factor | None
    row: tuple[int, ...]
    """For each node its row in the matrix, -1 for the reference and for what floats."""


class Solver:
    """One net, ready for many sets of values with the same things open."""

    def __init__(self, net: ResistanceNet, open_: frozenset[int] = frozenset()) -> None:
        """`open_` are numbers of resistances that do not conduct."""
        self.net, self.open = net, open_
        count = len(net.circuit.nodes)
        joined: list[list[int]] = [[] for _ in range(count)]
        pairs = [(its.a, its.b) for n, its in enumerate(net.resistances) if n not in open_]
        pairs += [(its.a, its.b) for its in net.takers]
        pairs += [(its.plus, its.minus) for its in net.cells]
        for a, b in pairs:
            joined[a].append(b)
            joined[b].append(a)
        row = [-1] * count
        queue = deque([net.reference])
        reached = {net.reference}
        rows = 0
        while queue:
            for other in joined[queue.popleft()]:
                if other not in reached:
                    reached.add(other)
                    row[other] = rows
                    rows += 1
                    queue.append(other)
        self.reached, self.row, self.rows = reached, tuple(row), rows
        self.between = [(row[a], row[b]) for a, b in pairs if row[a] >= 0 and row[b] >= 0 and a != b]
        self.elimination = Elimination(rows, self.between)

    def solve(self, values: Values, *, roughly: bool = False) -> Operating:
        """The volts with these values; `roughly`: once is enough where no filament glows by halves and no converter
        gives anything: every load then is about the resistance that it is at its nominal volts, or carries nothing."""
        net, row = self.net, self.row
        fixed: list[tuple[int, int, float]] = []
        converting = Converting(net.cells, net.takers)
        for n, its in enumerate(net.resistances):
            if n not in self.open and its.a in self.reached and not its.drop:
                fixed.append((row[its.a], row[its.b], 1.0 / values.ohms[n]))
        cells = [(n, its) for n, its in enumerate(net.cells) if its.plus in self.reached]
        takers = [(n, its) for n, its in enumerate(net.takers) if its.a in self.reached]
        diodes = [
            (n, its) for n, its in enumerate(net.resistances)
            if its.drop and n not in self.open and its.a in self.reached
        ]  # fmt: skip
        across = [its.takes.volts for _, its in takers]
        through = [1.0] * len(diodes)
        found: list[float] = []
        settled = False
        curved = bool(diodes) or bool(converting) or any(its.takes.manner != "resistance" for _, its in takers)
        factor = None
        for _ in range(MOST_LOOKS if curved else 1):
            moving = [
                (row[its.a], row[its.b], conductance)
                for (_, its), conductance in zip(takers, self._taken(takers, across, values, converting), strict=True)
            ]
            right = [0.0] * self.rows
            for n, cell in cells:
                conductance = converting.source(n, values.inner[n])
                moving.append((row[cell.plus], row[cell.minus], conductance))
                for at, sign in ((row[cell.plus], 1.0), (row[cell.minus], -1.0)):
                    if at >= 0:
                        right[at] += sign * conductance * values.volts[n]
            moving += [
                (row[its.a], row[its.b], conductance) for (_, its), conductance in zip(diodes, through, strict=True)
            ]
            factor = self._factor(fixed, moving)
            new = factor.solve(right)
            settled = not curved or (bool(found) and max(map(_apart, found, new), default=0.0) < CLOSE)
            found = new
            if settled or (roughly and not converting and not self._glows(takers, found)):
                break
            converting.look(lambda node, found=found: self._at(found, node), values.volts, values.inner)  # type: ignore[misc]
            across = [
                its.takes.next_volts(before, self._at(found, its.a) - self._at(found, its.b))
                for (_, its), before in zip(takers, across, strict=True)
            ]
            through = [
                _diode(self._at(found, its.a) - self._at(found, its.b), its.drop, conductance)
                for (_, its), conductance in zip(diodes, through, strict=True)
            ]
        volts = tuple(
            (found[row[node]] if row[node] >= 0 else 0.0) if node in self.reached else None for node in range(len(row))
        )
        amps = [0.0] * len(net.resistances)
        for n, its in enumerate(net.resistances):
            if n not in self.open and its.a in self.reached and not its.drop:
                amps[n] = (self._at(found, its.a) - self._at(found, its.b)) / values.ohms[n]
        for (n, its), conductance in zip(diodes, through, strict=True):
            amps[n] = (self._at(found, its.a) - self._at(found, its.b)) * conductance
        taken = [0.0] * len(net.takers)
        drops = [self._at(found, its.a) - self._at(found, its.b) for _, its in takers]
        conducting = self._taken(takers, drops, values, converting)
        for (n, _), drop, conductance in zip(takers, drops, conducting, strict=True):
            taken[n] = drop * conductance
        given = [0.0] * len(net.cells)
        for n, cell in cells:
            over = values.volts[n] - self._at(found, cell.plus) + self._at(found, cell.minus)
            given[n] = over * converting.source(n, values.inner[n])
        return Operating(volts, tuple(amps), tuple(taken), tuple(given), settled, factor, self.row)

    def _glows(self, takers: Sequence[tuple[int, CurrentTaker]], found: Sequence[float]) -> bool:
        """Whether a lamp lies at some of its volts, so that its filament is cooler than at all of them."""
        shares = (
            abs(self._at(found, its.a) - self._at(found, its.b)) / its.takes.volts
            for _, its in takers
            if its.takes.manner == "filament"
        )
        return any(_DARK < share < _BRIGHT for share in shares)

    def _taken(
        self,
        takers: Sequence[tuple[int, CurrentTaker]],
        across: Sequence[float],
        values: Values,
        converting: Converting,
    ) -> list[float]:
        """The conductance of each taker at these volts."""
        found = []
        for (n, its), volts in zip(takers, across, strict=True):
            of_converter = converting.conductance(n, volts, values.shares[n])
            found.append(
                its.share * its.takes.conductance(volts, values.shares[n]) if of_converter is None else of_converter
            )
        return found

    def _factor(self, *parts: Sequence[tuple[int, int, float]]) -> Factor:
        diagonal = [1e-12] * self.rows
        between = []
        for part in parts:
            for a, b, conductance in part:
                if a >= 0:
                    diagonal[a] += conductance
                if b >= 0:
                    diagonal[b] += conductance
                if a >= 0 and b >= 0 and a != b:
                    between.append((a, b, -conductance))
        return self.elimination.factor(diagonal, between)

    def _at(self, found: Sequence[float], node: int) -> float:
        its = self.row[node]
        return found[its] if its >= 0 else 0.0


def _apart(one: float, other: float) -> float:
    return abs(one - other)


def _diode(across: float, drop: float, conductance: float) -> float:
    """The next conductance of a diode: such that its drop is met, and next to none backwards."""
    if across <= 0:
        return 1e-9
    return min(max(conductance * math.sqrt(across / drop), 1e-9), 1e3)


def usual_values(net: ResistanceNet) -> Values:
    """What is usual everywhere."""
    return Values(
        tuple(its.ohms.usual for its in net.resistances),
        (1.0,) * len(net.takers),
        tuple(its.usual for its in net.cells),
        tuple(its.ohms.usual for its in net.cells),
    )
