"""Which pairs of changes can do together what neither does alone: those that meet somewhere.

A change is followed through the vehicle by the states beside the parked one (`beside.py`). Where two changes touch
nothing in common, each does beside the other just what it does alone: such a pair need not be tried. They meet where
one moves a gate next to what the other makes live, at a load or coil of which each feeds one side, at a module that one
feeds and the other wakes, and in one piece of wiring between loads. Two changes that both take something away are taken
to meet.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from circuitmap.effort import Effort
from circuitmap.power.evaluate import Beside
from circuitmap.power.ready import Touching


class Effect(NamedTuple):
    """What one change does: the gates that it may move, those next to what it touches, whatever else it touches, and
    whether it takes something away. None of this is known of a change that was evaluated from nothing (`anything`)."""

    moves: frozenset[int]
    near: frozenset[int]
    shares: frozenset[tuple[str, int]]
    falls: bool
    anything: bool = False

    @property
    def size(self) -> int:
        return len(self.moves) + len(self.near) + len(self.shares)


ANYTHING = Effect(frozenset(), frozenset(), frozenset(), True, True)


def effect_of(beside: Beside, touching: Touching) -> Effect:
    """What was done by the change that led from the recorded state to this one."""
    touched = beside.touched
    if touched is None:
        return ANYTHING
    shares: set[tuple[str, int]] = set()
    shares.update(("net", net) for net in touched.nets)
    shares.update(("taker", path) for net in touched.nets for path in touching.paths_at.get(net, ()))
    shares.update(("coil", coil) for net in touched.nets for coil in touching.coils_at.get(net, ()))
    shares.update(("sleeper", sleeper) for sleeper in touched.sleepers)
    shares.update(("line", line) for line in touched.lines)
    shares.update(("floating", net) for net in touched.floating)
    return Effect(
        frozenset(touched.gates), frozenset(touching.gates_at(touched.nets)), frozenset(shares), touched.falls
    )


def partners_of(effects: Sequence[Effect], effort: Effort) -> Mapping[int, Sequence[int]] | None:
    """For each change, by its number, the later ones that it meets, in order; None where finding them took too much."""
    movers: dict[int, list[int]] = {}
    neighbours: dict[int, list[int]] = {}
    sharers: dict[tuple[str, int], list[int]] = {}
    falling: list[int] = []
    free: list[int] = []
    for number, effect in enumerate(effects):
        for gate in effect.moves:
            movers.setdefault(gate, []).append(number)
        for gate in effect.near:
            neighbours.setdefault(gate, []).append(number)
        for thing in effect.shares:
            sharers.setdefault(thing, []).append(number)
        if effect.falls:
            falling.append(number)
        if effect.anything:
            free.append(number)
    found: list[set[int]] = [set() for _ in effects]

    def meet(one: int, others: Sequence[int]) -> bool:
        found[one].update(others)
        return effort.spend(len(others) // 8 + 1)

    for its, others in {(tuple(its), tuple(neighbours.get(gate, ()))) for gate, its in movers.items()}:
        others = (*its, *others)
        if len(others) > 1 and not all(meet(one, others) for one in its):
            return None
    for its in {*map(tuple, sharers.values()), tuple(falling)}:
        if len(its) > 1 and not all(meet(one, its) for one in its):
            return None
    everyone = range(len(effects))
    if not all(meet(one, everyone) for one in free):
        return None
    after: dict[int, set[int]] = {one: set() for one in everyone}
    for one, met in enumerate(found):
        for other in met:
            if one != other:
                after[min(one, other)].add(max(one, other))
    return {one: sorted(its) for one, its in after.items()}
