"""What a bad place would show: one more resistance in a row with a link, up to an interrupted one.

A resistance put in a row anywhere in a linear net changes all volts in fixed proportions, whatever its size (a change
of rank one): these proportions are the fingerprint of the place.
"""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.volts.foreground import Foreground, Solved, ValueSetting, usual_setting

SHOWN_OHMS = 0.25
"""The size for which it is told what a bad place would show (judgement: a corroded joint in a 10 A circuit)."""


class Fingerprint(NamedTuple):
    """How the volts of some nodes move from sound to interrupted at one place (`moves`), and the ohms of the rest of
    the circuit as that place sees it: a resistance R there moves them by R / (R + `rest`) of it. `open` is how they
    move once it is interrupted, which is more where a converter then gives nothing."""

    number: int
    moves: tuple[float, ...]
    rest: float
    open: tuple[float, ...]

    def share(self, ohms: float) -> float:
        """How far towards interrupted so many ohms more move the volts."""
        return ohms / (ohms + self.rest)


def with_more(setting: ValueSetting, number: int, ohms: float) -> ValueSetting:
    """The same with so many ohms more in one resistance of the foreground."""
    changed = list(setting.ohms)
    changed[number] += ohms
    return ValueSetting(tuple(changed), setting.shares, setting.beside, setting.volts, setting.inner)


def fingerprints(foreground: Foreground, nodes: Sequence[int]) -> tuple[Fingerprint, ...]:
    """For each resistance of the foreground, what interrupting it does at these nodes, loads held at what they are."""
    setting = usual_setting(foreground)
    solved = Solved(foreground, setting)
    row = foreground.row
    found = []
    for number, its in enumerate(foreground.resistances):
        if its.drop:
            continue
        a, b = row.get(its.a, -1), row.get(its.b, -1)
        pull = [0.0] * len(foreground.nodes)
        if a >= 0:
            pull[a] += 1.0
        if b >= 0:
            pull[b] -= 1.0
        moved = solved.factor.solve(pull)
        seen = (moved[a] if a >= 0 else 0.0) - (moved[b] if b >= 0 else 0.0)
        across = solved.at(its.a) - solved.at(its.b)
        conductance = 1.0 / setting.ohms[number]
        left = 1.0 - conductance * seen
        if left < 1e-6:  # nothing else leads there: all of it hangs in the air
            left = 1e-6
        open_ = conductance * across / left
        moves = tuple(open_ * moved[row[node]] if node in row else 0.0 for node in nodes)
        open_moves = tuple(foreground.moved_open(number, node) for node in nodes) if foreground.converts else moves
        found.append(Fingerprint(number, moves, setting.ohms[number] / left, open_moves))
    return tuple(found)


class AlikePlaces(NamedTuple):
    """Places that the measured points do not tell apart: numbers of resistances."""

    numbers: tuple[int, ...]
    fingerprint: Fingerprint


_ALIKE = 0.02
_SHOWS_OPEN = 0.5
"""Volts by which a place that shows only once it is interrupted must then move something (judgement)."""


def alike(found: Sequence[Fingerprint]) -> tuple[AlikePlaces, ...]:
    """Places with the same proportions, together; those that move nothing by a hundredth of a volt, and interrupted by
    not much more, are left out."""
    groups: list[tuple[list[int], Fingerprint]] = []
    for its in found:
        moved, opened = (max(map(abs, moves), default=0.0) for moves in (its.moves, its.open))
        if moved < 0.01 and opened < _SHOWS_OPEN:
            continue
        for numbers, first in groups:
            pairs = zip((*its.moves, *its.open), (*first.moves, *first.open), strict=True)
            if all(abs(a - b) <= _ALIKE * max(abs(a), 1.0) for a, b in pairs):
                numbers.append(its.number)
                break
        else:
            groups.append(([its.number], its))
    return tuple(AlikePlaces(tuple(numbers), first) for numbers, first in groups)
