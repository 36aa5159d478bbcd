"""Kirchhoff's laws for a network of resistors and ideal diodes, by numpy: which of them carry current."""

from collections.abc import Iterable
from random import Random
from typing import NamedTuple

import numpy as np

from circuitmap.wiring.parts import Terminal

COPPER = 1e-4
"""The ohms of a diode that conducts."""
NOTHING = 1e-6
"""Amperes, or volts, that count as none."""


class Resistor(NamedTuple):
    name: str
    a: Terminal
    b: Terminal
    ohms: float


class Network:
    """Terminals joined to each other, by resistors of random size, or by diodes; some are held at a voltage."""

    def __init__(self, terminals: Iterable[Terminal]) -> None:
        self._leader = {terminal: terminal for terminal in terminals}
        self._resistors: list[Resistor] = []
        self._diodes: list[Resistor] = []
        self._held: dict[Terminal, float] = {}
        self._random = Random(1)

    def _find(self, terminal: Terminal) -> Terminal:
        while self._leader.setdefault(terminal, terminal) != terminal:
            terminal = self._leader[terminal]
        return terminal

    def join(self, a: Terminal, b: Terminal) -> None:
        self._leader[self._find(a)] = self._find(b)

    def put(self, name: str, a: Terminal, b: Terminal) -> None:
        """A resistor of 1 to 100 ohm; no two are alike, so that no bridge is ever in balance."""
        self._resistors.append(Resistor(name, a, b, self._random.uniform(1.0, 100.0)))

    def put_diode(self, a: Terminal, b: Terminal) -> None:
        self._diodes.append(Resistor("", a, b, COPPER))

    def hold(self, terminal: Terminal, volts: float) -> None:
        self._held.setdefault(self._find(terminal), volts)

    def carrying(self) -> set[str]:
        """The names of the resistors through which current flows and that have at least one end not held."""
        held = {self._find(terminal): volts for terminal, volts in self._held.items()}
        resistors = [its._replace(a=self._find(its.a), b=self._find(its.b)) for its in self._resistors]
        diodes = [its._replace(a=self._find(its.a), b=self._find(its.b)) for its in self._diodes]
        blocked: set[int] = set()
        for _ in range(100):
            volts = _solve(held, [*resistors, *(d for n, d in enumerate(diodes) if n not in blocked)])
            drop = [volts.get(d.a, 0.0) - volts.get(d.b, 0.0) for d in diodes]
            wrong = {n for n, its in enumerate(drop) if (its > NOTHING if n in blocked else its < -NOTHING * COPPER)}
            if not wrong:
                break
            blocked ^= wrong
        return {
            its.name
            for its in resistors
            if abs(volts[its.a] - volts[its.b]) / its.ohms > NOTHING and not (its.a in held and its.b in held)
        }


def _solve(held: dict[Terminal, float], resistors: list[Resistor]) -> dict[Terminal, float]:
    """The voltage of every terminal that a resistor ends at; what nothing holds is held weakly at 0."""
    free: dict[Terminal, int] = {}
    for its in resistors:
        for end in (its.a, its.b):
            if end not in held:
                free.setdefault(end, len(free))
    size = len(free)
    conductance, current = np.eye(size) * 1e-9, np.zeros(size)
    for its in resistors:
        for here, there in ((its.a, its.b), (its.b, its.a)):
            if here in free and here != there:
                conductance[free[here], free[here]] += 1 / its.ohms
                if there in free:
                    conductance[free[here], free[there]] -= 1 / its.ohms
                else:
                    current[free[here]] += held[there] / its.ohms
    volts = np.linalg.solve(conductance, current) if size else current
    return {**held, **{terminal: float(volts[n]) for terminal, n in free.items()}}
