"""What loads take that only carry current through one another, such as all that hangs on the body while a main switch
in the minus is open and a telltale lies across it."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from circuitmap.diagnosis.car.currents import Draw
from circuitmap.diagnosis.weighing.log_normal import Spread
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES
from circuitmap.power.series_currents import InSeries, currents_in_series
from circuitmap.wiring.parts import Terminal

_FED = 0.5
"""A module or coil with less than this part of the nominal voltage does nothing (judgement)."""


class PassedOn(NamedTuple):
    """The current of one load: at each of its pins that is live in A, where that can be worked out, with the parts that
    all of it goes back through; else None. `most`: what it passes at the most, in A; None where that is not known.
    `live`: a pin of it is live, so that what flows there comes from a battery; what does not is told at others.
    `starved`: it has less than half of the voltage."""

    live: bool
    at: Mapping[Terminal, float] | None
    back: frozenset[str]
    most: float | None
    starved: bool

    def works_with(self, amps: float) -> bool:
        """Whether half of the voltage or more is left for who takes so much (Ohm's law)."""
        return not self.starved and (self.most is None or amps <= _FED * self.most)

    def no_more_than(self, draw: Draw) -> Draw:
        """The same, but no more than can pass."""
        if self.most is None or draw.spread.median <= self.most:
            return draw
        return Draw(Spread(self.most, draw.spread.sigma), draw.assumed)


def passed_on(powered: Powered) -> Mapping[str, PassedOn]:
    """Each load that draws only so."""
    return powered.derived(_Found).by_name


class _Found:
    def __init__(self, powered: Powered) -> None:
        plan = powered.plan
        surely = {name for n, name in enumerate(plan.loads) if powered.draws[n] == YES}
        its: dict[str, list[InSeries]] = {}
        for one in currents_in_series(powered):
            if one.name in powered.circuit.loads and one.name not in surely:
                its.setdefault(one.name, []).append(one)
        back = _all_back_through(powered)
        self.by_name = {name: _of(powered, all_of, back) for name, all_of in its.items()}


def _of(powered: Powered, its: list[InSeries], back: frozenset[str]) -> PassedOn:
    nominal = powered.circuit.platform.supply_volts
    known = [one.volts for one in its if one.volts is not None]
    mosts = [one.most for one in its if one.most is not None]
    at: dict[Terminal, float] = {}
    for one in its:
        if one.at_plus is not None and one.amps is not None:
            at[one.at_plus] = at.get(one.at_plus, 0.0) + one.amps
    whole = len(known) == len(its)
    starved = whole and max(known) < _FED * nominal
    live = any(one.at_plus is not None for one in its)
    return PassedOn(live, at if whole else None, back, min(mosts) if len(mosts) == len(its) else None, starved)


def _all_back_through(powered: Powered) -> frozenset[str]:
    """The part through which all that flows so returns, where it is one: what ends with it."""
    found = set(_ends_back(powered))
    return frozenset(found) if len(found) == 1 else frozenset()


def _ends_back(powered: Powered) -> Iterator[str]:
    return (one.name for one in currents_in_series(powered) if one.at_ground is not None)
