"""The part of a net in which the current of what runs flows, small enough to be worked out hundreds of times.

What else draws is kept as a current between the two places where its way leaves that part: it stands near the battery's
volts, so its current hardly depends on what happens here.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from circuitmap.volts.converting import Converting
from circuitmap.volts.elimination import Elimination, Factor
from circuitmap.volts.net import CurrentTaker, Resistance, ResistanceNet, SourceCell
from circuitmap.volts.operating import Operating, Solver, usual_values

LEAST_SHARE = 1e-3
"""Of the current of what runs: a way with less of it is not part of the foreground (judgement)."""
CLOSE_ENOUGH = 1e-5
MOST_LOOKS = 60


@dataclass(frozen=True)
class DrawBeside:
    """What draws beside: between two nodes, so many amperes at the least, usually, at most."""

    a: int
    b: int
    low: float
    usual: float
    high: float


@dataclass(frozen=True)
class Foreground:
    """`nodes` are those of the circuit, row by row; `row` the other way round. `numbers` are the numbers of the
    resistances in the whole net. `idle` are converters that are joined to it and give nothing: it stands higher."""

    net: ResistanceNet
    usual: Operating
    nodes: tuple[int, ...]
    resistances: tuple[Resistance, ...]
    numbers: tuple[int, ...]
    takers: tuple[CurrentTaker, ...]
    cells: tuple[SourceCell, ...]
    beside: tuple[DrawBeside, ...]
    idle: tuple[SourceCell, ...] = ()

    @cached_property
    def row(self) -> dict[int, int]:
        return {node: row for row, node in enumerate(self.nodes)}

    @cached_property
    def elimination(self) -> Elimination:
        row = self.row
        things = [(its.a, its.b) for its in self.resistances] + [(its.a, its.b) for its in self.takers]
        things += [(its.plus, its.minus) for its in self.cells]
        return Elimination(len(self.nodes), [(row[a], row[b]) for a, b in things if a in row and b in row])

    @cached_property
    def curved(self) -> bool:
        """Whether a current does not follow the volts in proportion."""
        bent = any(its.drop for its in self.resistances) or any(its.one_way for its in self.cells)
        return bent or any(its.takes.manner != "resistance" for its in self.takers)

    @cached_property
    def converts(self) -> bool:
        """Whether a converter is on the way: what is wrong before it shows behind it only once it gives nothing."""
        return any(its.before >= 0 for its in self.cells)

    @cached_property
    def _opened(self) -> dict[int, Operating]:
        return {}

    def opened(self, number: int) -> Operating:
        """The volts of the whole net with one resistance of the foreground interrupted."""
        if number not in self._opened:
            solver = Solver(self.net, frozenset((self.numbers[number],)))
            self._opened[number] = solver.solve(usual_values(self.net))
        return self._opened[number]

    def moved_open(self, number: int, node: int) -> float:
        """By how many volts that moves a node; one that floats shows nothing."""
        return (self.opened(number).volts[node] or 0.0) - (self.usual.volts[node] or 0.0)

    @cached_property
    def has_cross_links(self) -> bool:
        """Whether current can go round without passing a load or a battery: then it is not known beforehand which way
        a value moves the volts."""
        leader: dict[int, int] = {}

        def find(node: int) -> int:
            while leader.setdefault(node, node) != node:
                node = leader[node]
            return node

        for its in self.resistances:
            a, b = find(its.a), find(its.b)
            if a == b:
                return True
            leader[b] = a
        return False


def foreground_of(net: ResistanceNet, running: Iterable[str]) -> Foreground | None:
    """The foreground of what runs; None where no current of it flows."""
    running = frozenset(running)
    solver = Solver(net)
    values = usual_values(net)
    with_it = solver.solve(values)
    without = solver.solve(
        values._replace(shares=tuple(0.0 if its.is_of(running) else 1.0 for its in net.takers))
    )  # fmt: skip
    whole = sum(abs(its) for its, taker in zip(with_it.taken, net.takers, strict=True) if taker.is_of(running))
    if whole < 1e-6:
        return None
    least = LEAST_SHARE * whole
    moved = [abs(one - other) for one, other in zip(with_it.amps, without.amps, strict=True)]
    numbers = tuple(n for n, its in enumerate(moved) if its > least)
    kept = tuple(net.resistances[n] for n in numbers)
    nodes = {node for its in kept for node in (its.a, its.b)}
    taking = [n for n, its in enumerate(net.takers) if its.is_of(running) and abs(with_it.taken[n]) > 0]
    giving = {
        its.before: n
        for n, its in enumerate(net.cells)
        if its.one_way and abs(with_it.given[n] - without.given[n]) > least
    }
    taking += [n for n in giving if n not in taking]
    takers = tuple(net.takers[n] for n in taking)
    nodes |= {node for its in takers for node in (its.a, its.b)}
    cells = tuple(
        its._replace(before=taking.index(its.before) if n in giving.values() else -1)
        for n, its in enumerate(net.cells)
        if its.plus in nodes or (its.minus in nodes and not its.one_way)
    )
    nodes |= {node for its in cells for node in (its.plus, its.minus)}
    if net.reference not in nodes:  # what runs has a battery of its own: the black lead is held to another one
        numbers += _to_reference(net, nodes)
        kept = tuple(net.resistances[n] for n in numbers)
        nodes |= {node for its in kept for node in (its.a, its.b)}
    nodes.add(net.reference)
    nearest = _nearest(net, nodes)
    beside = tuple(
        DrawBeside(
            nearest[its.a], nearest[its.b],
            abs(with_it.taken[n]) * its.takes.low / its.takes.usual,
            abs(with_it.taken[n]),
            abs(with_it.taken[n]) * its.takes.high / its.takes.usual,
        )
        for n, its in enumerate(net.takers)
        if n not in taking and abs(with_it.taken[n]) > 1e-4 and nearest.get(its.a, -1) != nearest.get(its.b, -1)
        and its.a in nearest and its.b in nearest
    )  # fmt: skip
    ordered = tuple(sorted(nodes - {net.reference}))
    idle = tuple(
        its
        for n, its in enumerate(net.cells)
        if its.one_way
        and with_it.given[n] < 1e-4
        and nearest.get(its.plus, its.minus) not in (its.minus, net.reference)
    )
    return Foreground(net, with_it, ordered, kept, numbers, takers, cells, beside, idle)


def _to_reference(net: ResistanceNet, nodes: set[int]) -> tuple[int, ...]:
    """The resistances, by number, from the reference to the nearest of these nodes."""
    around: dict[int, list[tuple[int, int]]] = {}
    for n, its in enumerate(net.resistances):
        around.setdefault(its.a, []).append((its.b, n))
        around.setdefault(its.b, []).append((its.a, n))
    ways: dict[int, tuple[int, ...]] = {net.reference: ()}
    queue = deque([net.reference])
    while queue:
        node = queue.popleft()
        if node in nodes:
            return ways[node]
        for other, n in around.get(node, ()):
            if other not in ways:
                ways[other] = (*ways[node], n)
                queue.append(other)
    return ()


def _nearest(net: ResistanceNet, nodes: set[int]) -> dict[int, int]:
    """For every node that resistances lead to, the node of the foreground that is nearest by them."""
    around: dict[int, list[int]] = {}
    for its in net.resistances:
        around.setdefault(its.a, []).append(its.b)
        around.setdefault(its.b, []).append(its.a)
    found = {node: node for node in nodes}
    queue = deque(sorted(nodes))
    while queue:
        node = queue.popleft()
        for other in around.get(node, ()):
            if other not in found:
                found[other] = found[node]
                queue.append(other)
    return found


@dataclass(frozen=True)
class ValueSetting:
    """One set of values of a foreground, as one list: ohms of the resistances, shares of the takers, shares of what
    draws beside, volts and inner ohms of the cells."""

    ohms: tuple[float, ...]
    shares: tuple[float, ...]
    beside: tuple[float, ...]
    volts: tuple[float, ...]
    inner: tuple[float, ...]


class Solved:
    """The volts of a foreground for one setting; `volts[row]`."""

    __slots__ = ("conductances", "converting", "factor", "foreground", "setting", "volts")
    conductances: list[float]
    converting: Converting

    def __init__(
        self,
        foreground: Foreground,
        setting: ValueSetting,
        start: "Solved | None" = None,
    ) -> None:
        self.foreground, self.setting = foreground, setting
        self.converting = Converting(
            foreground.cells, foreground.takers, start.converting if start is not None else None
        )
        its = foreground
        row = its.row
        right = [0.0] * len(its.nodes)
        fixed: list[tuple[int, int, float]] = []
        for n, other in enumerate(its.beside):
            amps = setting.beside[n]
            if other.a in row:
                right[row[other.a]] -= amps
            if other.b in row:
                right[row[other.b]] += amps
        fixed += [
            (row.get(r.a, -1), row.get(r.b, -1), 1.0 / setting.ohms[n])
            for n, r in enumerate(its.resistances)
            if not r.drop and setting.ohms[n] > 0
        ]
        ends = [(row.get(t.a, -1), row.get(t.b, -1)) for t in its.takers]
        ends += [(row.get(r.a, -1), row.get(r.b, -1)) for r in its.resistances if r.drop]
        drops = [r.drop for r in its.resistances if r.drop]
        moving = start.conductances if start is not None and its.curved else self._first(len(drops))
        volts: list[float] = []
        for _ in range(MOST_LOOKS if its.curved else 1):
            now, sources = right.copy(), []
            for n, cell in enumerate(its.cells):
                conductance = self.converting.source(n, setting.inner[n])
                a, b = row.get(cell.plus, -1), row.get(cell.minus, -1)
                sources.append((a, b, conductance))
                if a >= 0:
                    now[a] += conductance * setting.volts[n]
                if b >= 0:
                    now[b] -= conductance * setting.volts[n]
            factor = self._factor([*fixed, *sources], ends, moving)
            new = factor.solve(now)
            done = bool(volts) and max(abs(a - b) for a, b in zip(volts, new, strict=True)) < CLOSE_ENOUGH
            volts = new
            if done or not its.curved:
                break
            self.volts = volts
            self.converting.look(self.at, setting.volts, setting.inner)
            moving = self._next(volts, ends, moving, drops)
        self.volts, self.factor, self.conductances = volts, factor, moving

    def at(self, node: int) -> float:
        row = self.foreground.row.get(node, -1)
        return self.volts[row] if row >= 0 else 0.0

    def amps(self, n: int) -> float:
        """The current in a resistance of the foreground, from `a` to `b`."""
        its, ohms = self.foreground.resistances[n], self.setting.ohms[n]
        across = self.at(its.a) - self.at(its.b)
        if its.drop:
            diodes = [m for m, r in enumerate(self.foreground.resistances) if r.drop]
            return across * self.conductances[len(self.foreground.takers) + diodes.index(n)]
        return across / ohms if ohms > 0 else 0.0

    def given(self, n: int) -> float:
        """The current from a cell of the foreground."""
        cell = self.foreground.cells[n]
        over = self.setting.volts[n] - self.at(cell.plus) + self.at(cell.minus)
        return over * self.converting.source(n, self.setting.inner[n])

    def _first(self, diodes: int) -> list[float]:
        its = self.foreground
        shares = zip(its.takers, self.setting.shares, strict=True)
        return [self._taken(n, t, t.takes.volts, share) for n, (t, share) in enumerate(shares)] + [10.0] * diodes

    def _taken(self, n: int, taker: CurrentTaker, across: float, share: float) -> float:
        of_converter = self.converting.conductance(n, across, share)
        return taker.share * taker.takes.conductance(across, share) if of_converter is None else of_converter

    def _next(
        self, volts: list[float], ends: list[tuple[int, int]], before: list[float], drops: list[float]
    ) -> list[float]:
        across = [(volts[a] if a >= 0 else 0.0) - (volts[b] if b >= 0 else 0.0) for a, b in ends]
        takers = self.foreground.takers
        found = [
            self._taken(n, t, drop, share) if t.takes.manner != "led" else
            (self._taken(n, t, drop, share) + old) / 2  # halfway: it would overshoot
            for n, (t, share, drop, old) in enumerate(zip(takers, self.setting.shares, across, before, strict=False))
        ]  # fmt: skip
        for drop, conductance, there in zip(drops, before[len(takers) :], across[len(takers) :], strict=True):
            found.append(max(min(conductance * (max(there, 1e-9) / drop) ** 0.5, 1e3), 1e-9))
        return found

    def _factor(self, fixed: list[tuple[int, int, float]], ends: list[tuple[int, int]], moving: list[float]) -> Factor:
        diagonal = [1e-9] * len(self.foreground.nodes)
        between = []
        for a, b, conductance in (*fixed, *((a, b, g) for (a, b), g in zip(ends, moving, strict=True))):
            if a >= 0:
                diagonal[a] += conductance
            if b >= 0:
                diagonal[b] += conductance
            if a >= 0 and b >= 0:
                between.append((a, b, -conductance))
        return self.foreground.elimination.factor(diagonal, between)


def usual_setting(foreground: Foreground) -> ValueSetting:
    """What is usual everywhere."""
    its = foreground
    return ValueSetting(
        tuple(r.ohms.usual for r in its.resistances),
        (1.0,) * len(its.takers),
        tuple(b.usual for b in its.beside),
        tuple(c.usual for c in its.cells),
        tuple(c.ohms.usual for c in its.cells),
    )
