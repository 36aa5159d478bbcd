"""Where a current can be measured, and which current flows through which: batteries, box feeders, fuses.

What is read at one point flows through every point above it as well.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal, NamedTuple

from circuitmap.circuit.feeding import SIGNALS, Feeding
from circuitmap.circuit.path import PROTECTIVE, Path
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Wire


class MeasuringPoint(NamedTuple):
    """A battery post, the cable that feeds a box, a fuse, or `unknown`: a place where nobody typed what is above.

    `name`: the post (`BAT.+`), the terminal in the box at which the cable arrives (`CAB.B1`), the fuse; of an unknown
    place its terminal. `box` is the box of a feeder.
    """

    kind: Literal["battery", "feeder", "fuse", "unknown"]
    name: str
    box: str = ""


Chain = tuple[MeasuringPoint, ...]
"""Measuring points in the order in which the current passes them, the battery first."""


@dataclass(frozen=True)
class MeasuringTree:
    """`chains` are the ways of the current to every place where it is taken, alternatives side by side.

    `above` gives for each point the nearest points upstream of it: one, or several when there are several ways.
    `cables` are the wires of the feeders.
    """

    chains: Mapping[Terminal, tuple[Chain, ...]]
    above: Mapping[MeasuringPoint, tuple[MeasuringPoint, ...]]
    cables: Mapping[MeasuringPoint, tuple[Wire, ...]]

    @cached_property
    def below(self) -> Mapping[MeasuringPoint, tuple[MeasuringPoint, ...]]:
        found: dict[MeasuringPoint, dict[MeasuringPoint, None]] = {}
        for point, uppers in self.above.items():
            for upper in uppers:
                found.setdefault(upper, {})[point] = None
        return {point: tuple(lower) for point, lower in found.items()}


def measuring_tree(feeding: Feeding) -> MeasuringTree:
    """The measuring points of a circuit; roundabout ways are left out."""
    cables: dict[MeasuringPoint, dict[Wire, None]] = {}
    above: dict[MeasuringPoint, dict[MeasuringPoint, None]] = {}
    box_of = feeding.circuit.platform.box_of

    def chain_of(path: Path, to_fuse: bool) -> Chain:
        points: list[MeasuringPoint] = [MeasuringPoint("battery" if path.known else "unknown", str(path.start))]
        entered: tuple[MeasuringPoint, Wire] | None = None
        for step in path.steps:
            link = step.link
            if link.kind == "wire" and link.wire is not None:
                before, after = box_of(step.start.part), box_of(step.end.part)
                if after is not None and after != before:
                    entered = MeasuringPoint("feeder", str(step.end), after.name), link.wire
                elif after != before:
                    entered = None
            elif link.kind in PROTECTIVE:
                arrive(points, entered)
                entered = None
                points.append(MeasuringPoint("fuse", link.part))
        if to_fuse:
            arrive(points, entered)
        return tuple(points)

    def arrive(points: list[MeasuringPoint], entered: tuple[MeasuringPoint, Wire] | None) -> None:
        """A cable into a box is its feeder only if a fuse of that box comes next."""
        if entered:
            points.append(entered[0])
            cables.setdefault(entered[0], {})[entered[1]] = None

    def note(chain: Chain) -> None:
        for upper, lower in pairwise(chain):
            above.setdefault(lower, {})[upper] = None
        above.setdefault(chain[0], {})

    chains: dict[Terminal, tuple[Chain, ...]] = {}
    for taking in feeding.takings:
        if taking.kind in SIGNALS:
            continue  # no current worth measuring goes there
        found = dict.fromkeys(chain_of(path, False) for path in taking.paths.direct)
        for chain in found:
            note(chain)
        chains[taking.terminal] = tuple(found)
    for fuse in feeding.circuit.platform.fuses:
        if not feeding.fitted(fuse.name):
            continue
        point = MeasuringPoint("fuse", fuse.name)
        above.setdefault(point, {})
        for path in feeding.feeds_of(fuse.name):
            note((*chain_of(path, True), point))
    return MeasuringTree(
        chains,
        {point: tuple(uppers) for point, uppers in above.items()},
        {point: tuple(wires) for point, wires in cables.items()},
    )
