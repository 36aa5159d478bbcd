"""How converters stand while volts are being found: what each gives behind, and what it takes before.

A converter holds its own volts and lets nothing flow back. What it gives in watts it takes before, and nothing without
volts there: so what is wrong before it shows behind it only once it gives nothing at all.
"""

from collections.abc import Callable, Sequence

from circuitmap.volts.net import CurrentTaker, SourceCell

LEAST_BEFORE = 0.5
"""Share of the nominal volts before it that a converter needs to give any (judgement: most stop well above that)."""
_SHUT = 1e-9


class Converting:
    """The converters of one net, by the numbers of their cells: whether each gives, and how many amperes."""

    _gives: dict[int, bool]
    _amps: dict[int, float]
    __slots__ = ("_amps", "_cells", "_gives", "_of_taker", "_starved", "_takers")

    def __init__(
        self,
        cells: Sequence[SourceCell],
        takers: Sequence[CurrentTaker],
        start: "Converting | None" = None,
    ) -> None:
        """`start`: where they stood when values were a little different."""
        self._cells = {n: its for n, its in enumerate(cells) if its.one_way}
        self._takers = takers
        self._of_taker = {its.before: n for n, its in self._cells.items() if its.before >= 0}
        self._gives = dict.fromkeys(self._cells, True) if start is None else dict(start._gives)
        self._starved: set[int] = set()
        """Those that had not enough volts before them once: with nothing taken there would be enough again."""
        self._amps = dict.fromkeys(self._cells, 0.0) if start is None else dict(start._amps)

    def __bool__(self) -> bool:
        return bool(self._cells)

    def source(self, cell: int, inner: float) -> float:
        """The conductance of a cell, 1/ohm."""
        return 1.0 / inner if self._gives.get(cell, True) else _SHUT

    def conductance(self, taker: int, across: float, share: float) -> float | None:
        """What it takes before, as a conductance at so many volts; None for what belongs to no converter."""
        cell = self._of_taker.get(taker)
        if cell is None:
            return None
        takes = self._takers[taker].takes
        amps = self._amps[cell] * self._cells[cell].usual / takes.volts
        return takes._replace(usual=amps).conductance(across, share) if amps > 0 else _SHUT

    def look(self, at: Callable[[int], float], volts: Sequence[float], inner: Sequence[float]) -> None:
        """Take over what follows from the volts that were found."""
        for n, its in self._cells.items():
            over = volts[n] - (at(its.plus) - at(its.minus))
            enough = True
            if its.before >= 0:
                taker = self._takers[its.before]
                enough = at(taker.a) - at(taker.b) >= LEAST_BEFORE * taker.takes.volts
            if not enough:
                self._starved.add(n)
            self._gives[n] = n not in self._starved and over > 0
            self._amps[n] = over / inner[n] if self._gives[n] else 0.0

    def before(self, cell: int) -> CurrentTaker | None:
        """What a converter that gives takes before."""
        its = self._cells.get(cell)
        return self._takers[its.before] if its is not None and its.before >= 0 and self._gives[cell] else None
