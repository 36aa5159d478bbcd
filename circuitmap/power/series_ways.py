"""The ways that current takes through loads in series, from plus to ground: which one follows which."""

from collections import deque
from typing import NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES

MOST_WAYS = 24
"""How many ways are found through one piece of wiring, the shortest first (judgement: a cab without its ground strap
has ten)."""
MOST_LOOKED_AT = 4_000
"""How many beginnings of ways are looked at (judgement)."""

PLUS, GROUND = -1, -2
"""The places of what is live, and of what is grounded."""
_Way = tuple[tuple[str, ...], ...]
"""Loads in the order of the current; those side by side between the same two places stand together."""


class SeriesWays(NamedTuple):
    """The ways that one load lies on, each without the load itself. `more`: there are, or may be, others."""

    ways: tuple[_Way, ...]
    more: bool


def series_ways(powered: Powered, load: str, most: int) -> SeriesWays:
    """At most so many ways, the shortest ones."""
    found = powered.derived(_Found)
    own = [way for way in found.ways if any(load in group for group in way)]
    apart = [tuple(group for group in way if load not in group) for way in own]
    told = tuple(way for way in dict.fromkeys(apart) if way)
    return SeriesWays(told[:most], len(told) > most or found.more)


class _Found:
    """All pieces of wiring that loads carry current through together, searched once."""

    def __init__(self, powered: Powered) -> None:
        self._place = places(powered)
        beside: dict[int, dict[int, list[str]]] = {}
        takers = powered.run.takers
        for taker in sorted(powered.settled.reach.in_series):
            its = takers.all[taker]
            if its is None:
                continue
            a, b, name = self._place[its.a], self._place[its.b], powered.name_of_taker(taker)
            for here, there in ((a, b), (b, a)):
                group = beside.setdefault(here, {}).setdefault(there, [])
                if a != b and name not in group:
                    group.append(name)
        self.ways, self.more = _searched(beside)


def places(powered: Powered) -> list[int]:
    """For each net: plus, ground, or the first of the nets that conducting contacts join it with."""
    nets, levels, reach = powered.nets, powered.settled.levels, powered.settled.reach
    place = [PLUS if reach.supply[net] else GROUND if reach.ground[net] else net for net in range(nets.count)]
    seen: set[int] = set()
    for start in range(nets.count):
        if place[start] != start or start in seen:
            continue
        seen.add(start)
        todo = [start]
        while todo:
            here = todo.pop()
            place[here] = start
            for other, gate in (*nets.towards_load[here], *nets.towards_supply[here]):
                if other not in seen and place[other] >= 0 and levels[gate] == YES:
                    seen.add(other)
                    todo.append(other)
    return place


def _searched(beside: dict[int, dict[int, list[str]]]) -> tuple[tuple[_Way, ...], bool]:
    """Ways from plus to ground that pass no place twice, the shortest first."""
    ways: list[_Way] = []
    queue: deque[tuple[tuple[int, ...], _Way]] = deque([((PLUS,), ())])
    looked_at = 0
    while queue:
        if looked_at == MOST_LOOKED_AT or len(ways) == MOST_WAYS:
            return tuple(ways), True
        looked_at += 1
        passed, way = queue.popleft()
        if passed[-1] == GROUND:
            ways.append(way)
            continue
        for there, group in beside.get(passed[-1], {}).items():
            if there not in passed and group:
                queue.append(((*passed, there), (*way, tuple(group))))
    return tuple(ways), False
