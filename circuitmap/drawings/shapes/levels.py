"""At which level of the current-path layout each part stands.

Level 0 is the row of rails, then everything as near to its supply as it goes, all loads at one level, what switches
them on the ground side below, grounds, and last the row of networks. Wires between parts are read from supply to
ground; one that closes a circle (a module that drives the relay through which it is fed) is drawn upwards.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from circuitmap.drawings.scene.scene import LOADS, DrawnPart, Kind, Scene

TWO_SIDED = frozenset({Kind.FUSE, Kind.LINK, Kind.BREAKER, Kind.DIODE, Kind.RESISTOR, Kind.CAVITY})
SOURCE_STUBS = frozenset({Kind.OPEN_END, Kind.MORE, Kind.FROM_SHEET})


class LevelStep(NamedTuple):
    """`lower` stands at least `apart` levels below `upper`."""

    upper: str
    lower: str
    apart: int


class DrawnLevels(NamedTuple):
    """Level of each part by key; `last` is the row of the networks."""

    of: Mapping[str, int]
    last: int


def levels_of(scene: Scene) -> DrawnLevels:
    """The levels of all parts of a scene."""
    parts = {part.key: part for part in scene.parts}
    steps = _without_circles(list(parts), _steps(scene, parts))
    order = _from_supply_down(list(parts), steps)
    floor = dict.fromkeys(parts, 1)
    level = _lowest_allowed(order, steps, floor)
    above_others = _feeding_a_load(order, steps, parts)
    loads = [key for key, part in parts.items() if part.kind in LOADS and key not in above_others]
    if loads:
        common = max(level[key] for key in loads)
        floor.update(dict.fromkeys(loads, common))
        level = _lowest_allowed(order, steps, floor)
        _line_up_grounds(level, steps, parts, common)
    _hang_sources(level, steps, parts)
    return DrawnLevels(level, max(level.values(), default=0) + 1)


def _steps(scene: Scene, parts: Mapping[str, DrawnPart]) -> list[LevelStep]:
    arrived = {(wire.finish.owner, wire.finish.pin) for wire in scene.wires}
    steps = []
    for wire in scene.wires:
        upper, lower = wire.start.owner, wire.finish.owner
        if upper in parts and lower in parts and upper != lower:
            # A feed that is looped on from a fed pin leaves at the top: both parts may stand side by side.
            looped = parts[upper].pins and wire.start in arrived and parts[lower].kind is not Kind.GROUND
            steps.append(LevelStep(upper, lower, 0 if looped else 1))
    return steps


def _without_circles(keys: list[str], steps: list[LevelStep]) -> list[LevelStep]:
    """The same steps, with those that close a circle reversed; found depth first from the undriven parts."""
    leaving: dict[str, list[int]] = {key: [] for key in keys}
    driven = set()
    for number, step in enumerate(steps):
        leaving[step.upper].append(number)
        driven.add(step.lower)
    turned: set[int] = set()
    state = dict.fromkeys(keys, 0)
    for root in sorted(keys, key=lambda key: key in driven):
        stack = [(root, 0)]
        while stack:
            key, at = stack.pop()
            if at == 0:
                if state[key]:
                    continue
                state[key] = 1
            if at == len(leaving[key]):
                state[key] = 2
                continue
            stack.append((key, at + 1))
            below = steps[leaving[key][at]].lower
            if state[below] == 1:
                turned.add(leaving[key][at])
            elif state[below] == 0:
                stack.append((below, 0))
    return [LevelStep(s.lower, s.upper, 1) if number in turned else s for number, s in enumerate(steps)]


def _from_supply_down(keys: list[str], steps: list[LevelStep]) -> list[str]:
    waiting = dict.fromkeys(keys, 0)
    below: dict[str, list[str]] = {key: [] for key in keys}
    for step in steps:
        waiting[step.lower] += 1
        below[step.upper].append(step.lower)
    order = [key for key in keys if not waiting[key]]
    for key in order:
        for other in below[key]:
            waiting[other] -= 1
            if not waiting[other]:
                order.append(other)
    return order


def _lowest_allowed(order: Iterable[str], steps: list[LevelStep], floor: Mapping[str, int]) -> dict[str, int]:
    arriving: dict[str, list[LevelStep]] = {key: [] for key in floor}
    for step in steps:
        arriving[step.lower].append(step)
    level: dict[str, int] = {}
    for key in order:
        level[key] = max([floor[key], *(level[s.upper] + s.apart for s in arriving[key])])
    return level


def _feeding_a_load(order: list[str], steps: list[LevelStep], parts: Mapping[str, DrawnPart]) -> set[str]:
    """Parts with another load below them."""
    feeding: set[str] = set()
    leaving: dict[str, list[LevelStep]] = {key: [] for key in order}
    for step in steps:
        if step.apart:
            leaving[step.upper].append(step)
    for key in reversed(order):
        if any(parts[s.lower].kind in LOADS or s.lower in feeding for s in leaving[key]):
            feeding.add(key)
    return feeding


def _line_up_grounds(
    level: dict[str, int], steps: list[LevelStep], parts: Mapping[str, DrawnPart], common: int
) -> None:
    """The grounds of the loads stand in one row; those of relays and batteries higher up stay near them."""
    low = [s.lower for s in steps if parts[s.lower].kind is Kind.GROUND and level[s.upper] >= common]
    if low:
        row = max(level[key] for key in low)
        level.update(dict.fromkeys(low, row))


def _hang_sources(level: dict[str, int], steps: list[LevelStep], parts: Mapping[str, DrawnPart]) -> None:
    """Anything that comes from an undrawn place stands just above what it feeds."""
    driven = {step.lower for step in steps}
    for key, part in parts.items():
        if part.kind in SOURCE_STUBS and key not in driven:
            below = [level[s.lower] - s.apart for s in steps if s.upper == key]
            if below:
                level[key] = max(1, min(below))
