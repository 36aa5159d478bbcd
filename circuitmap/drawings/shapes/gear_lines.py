"""The lines inside of switchgear: from the legs on the edge of the box to the contacts, coils and other things in it.

Everything inside stands in columns, in one row, with one end up and one down. A net is what a leg is joined to. It has
a level line, its track, above or below the row if it reaches several columns there. A net that is needed on both sides
passes the row in a column of its own, a lane. Nothing shares a column or a track with another net: lines of two nets
only ever cross, and there the level one hops over the other.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import permutations, product
from typing import NamedTuple

UPPER, LOWER = 0, 1
_MOST_NETS = 9
"""With more nets each stays at the side of its leg: trying all is for few."""
_MOST_TRACKS = 4
_CROSSING, _TRACK = 10.0, 2.0


class Leg(NamedTuple):
    """A pin with the net that it belongs to and the side it stands on."""

    pin: str
    net: str
    side: int


class GearColumn(NamedTuple):
    """`element` is the number of what stands here, with `up` and `down` the nets of its ends; a lane has none of its
    own and the same net twice; a column that only holds a leg has one net."""

    element: int = -1
    up: str = ""
    down: str = ""

    def net_at(self, side: int) -> str:
        return self.down if side == LOWER else self.up


class GearTrack(NamedTuple):
    """A net's level line on one side: its number counted from the edge, and the places it reaches, as numbers of
    columns (a half: between two of them)."""

    net: str
    number: int
    legs: tuple[float, ...]
    inward: tuple[int, ...]


class GearPlan(NamedTuple):
    """`tracks` are those of the upper and of the lower side; `leg_at` is where each pin stands."""

    columns: tuple[GearColumn, ...]
    tracks: tuple[tuple[GearTrack, ...], tuple[GearTrack, ...]]
    leg_at: tuple[tuple[str, float], ...]

    def depth(self, side: int) -> int:
        """How many tracks lie above one another."""
        return max((track.number + 1 for track in self.tracks[side]), default=0)


@lru_cache(maxsize=512)
def gear_plan(elements: tuple[tuple[str, str], ...], legs: tuple[Leg, ...], apart: int) -> GearPlan:
    """The best plan found. `elements` are the nets at both ends of each; those from number `apart` on stay to the right
    of the others."""
    turned = _ends(elements, legs)
    order = _first_order(turned, legs, apart)
    best = _routed(order, legs)
    for _ in range(3):
        before = best[0]
        for at in range(len(order)):
            for to in range(len(order)):
                moved = list(order)
                moved.insert(to, moved.pop(at))
                if to == at or not _in_groups(moved, apart):
                    continue
                found = _routed(moved, legs)
                if found[0] < best[0]:
                    best, order = found, moved
        if best[0] == before:
            break
    return best[1]


def _ends(elements: tuple[tuple[str, str], ...], legs: tuple[Leg, ...]) -> list[tuple[str, str]]:
    """Which net is up and which is down at each element, so that few nets are needed on both sides."""
    nets = list(dict.fromkeys(net for pair in elements for net in pair))
    at_home = dict.fromkeys(nets, UPPER)
    at_home.update({leg.net: leg.side for leg in reversed(legs) if leg.net in at_home})
    choices = product((UPPER, LOWER), repeat=len(nets)) if len(nets) <= _MOST_NETS else ()
    best, best_cost = at_home, _lanes_for(at_home, elements, legs, at_home)
    for choice in choices:
        homes = dict(zip(nets, choice, strict=True))
        cost = _lanes_for(homes, elements, legs, at_home)
        if cost < best_cost:
            best, best_cost = homes, cost
    return [_turned(pair, best) for pair in elements]


def _turned(pair: tuple[str, str], homes: dict[str, int]) -> tuple[str, str]:
    """The net that is up, and the one that is down; where both are at home on one side, the first one stays."""
    one, other = pair
    return (one, other) if homes[one] == UPPER else (other, one)


def _lanes_for(
    homes: dict[str, int], elements: tuple[tuple[str, str], ...], legs: tuple[Leg, ...], at_home: dict[str, int]
) -> tuple[int, int]:
    sides: dict[str, set[int]] = {}
    for leg in legs:
        sides.setdefault(leg.net, set()).add(leg.side)
    for pair in elements:
        up, down = _turned(pair, homes)
        sides.setdefault(up, set()).add(UPPER)
        sides.setdefault(down, set()).add(LOWER)
    return sum(len(found) == 2 for found in sides.values()), sum(homes[net] != at_home[net] for net in homes)


def _first_order(turned: list[tuple[str, str]], legs: tuple[Leg, ...], apart: int) -> list[GearColumn]:
    """The elements as they were given, each lane behind the first element of its net, columns for further legs."""
    columns = [GearColumn(number, up, down) for number, (up, down) in enumerate(turned)]
    sides: dict[str, set[int]] = {}
    room: dict[tuple[str, int], int] = {}
    for column in columns:
        for side in (UPPER, LOWER):
            sides.setdefault(column.net_at(side), set()).add(side)
            room[column.net_at(side), side] = room.get((column.net_at(side), side), 0) + 1
    for leg in legs:
        sides.setdefault(leg.net, set()).add(leg.side)
    for net, found in sides.items():
        if len(found) == 2:
            first = next((n for n, c in enumerate(columns) if net in (c.up, c.down)), len(columns) - 1)
            columns.insert(first + 1, GearColumn(-1, net, net))
            for side in (UPPER, LOWER):
                room[net, side] = room.get((net, side), 0) + 1
    for leg in legs:
        room[leg.net, leg.side] = room.get((leg.net, leg.side), 0) - 1
        if room[leg.net, leg.side] < 0:
            at = max((n for n, c in enumerate(columns) if c.net_at(leg.side) == leg.net), default=len(columns) - 1)
            only = GearColumn(-1, leg.net, "") if leg.side == UPPER else GearColumn(-1, "", leg.net)
            columns.insert(at + 1, only)
    return columns


def _in_groups(columns: Sequence[GearColumn], apart: int) -> bool:
    numbers = [column.element >= apart for column in columns if column.element >= 0]
    return numbers == sorted(numbers)


def _routed(columns: Sequence[GearColumn], legs: tuple[Leg, ...]) -> tuple[float, GearPlan]:
    """The tracks and legs for columns in this order, with what they cost."""
    cost = 0.0
    leg_at: dict[str, float] = {}
    sides: list[tuple[GearTrack, ...]] = []
    for side in (UPPER, LOWER):
        tracks: list[GearTrack] = []
        straight: list[float] = []
        nets = dict.fromkeys(net for column in columns if (net := column.net_at(side)))
        for net in nets:
            own = [n for n, column in enumerate(columns) if column.net_at(side) == net]
            inward = tuple(n for n in own if columns[n].element >= 0 or columns[n].up == columns[n].down)
            pins = [leg.pin for leg in legs if leg.net == net and leg.side == side]
            places = _leg_places(own, len(pins))
            leg_at.update(zip(pins, places, strict=True))
            if len({*places, *inward}) > 1:
                tracks.append(GearTrack(net, 0, tuple(places), inward))
            else:
                straight += places or inward
        found, crossings = _numbered(tracks, straight)
        sides.append(found)
        cost += _CROSSING * crossings + _TRACK * len(found)
        cost += sum(max((*t.legs, *t.inward)) - min((*t.legs, *t.inward)) for t in found)
    return round(cost, 3), GearPlan(tuple(columns), (sides[0], sides[1]), tuple(leg_at.items()))


def _leg_places(own: list[int], count: int) -> list[float]:
    """Where the legs of a net stand: one between the two middle columns if these are neighbours, else on one."""
    middle = len(own) // 2
    if count == 1:
        if len(own) % 2 == 0 and own[middle] == own[middle - 1] + 1:
            return [(own[middle] + own[middle - 1]) / 2]
        return [float(own[middle])]
    return [float(n) for n in own[:count]]


def _numbered(tracks: list[GearTrack], straight: list[float]) -> tuple[tuple[GearTrack, ...], int]:
    """The tracks in the order, counted from the edge, that makes fewest crossings."""
    spans = [(min((*t.legs, *t.inward)), max((*t.legs, *t.inward))) for t in tracks]

    def over(a: int, b: int) -> int:
        """Crossings of two tracks, the first one nearer to the edge."""
        return sum(spans[b][0] < n < spans[b][1] for n in tracks[a].inward) + sum(
            spans[a][0] < n < spans[a][1] for n in tracks[b].legs
        )

    fixed = sum(low < n < high for low, high in spans for n in straight)
    numbers = range(len(tracks))
    orders = permutations(numbers) if len(tracks) <= _MOST_TRACKS else iter([tuple(numbers)])
    best = min(orders, key=lambda order: sum(over(a, b) for n, a in enumerate(order) for b in order[n + 1 :]))
    crossings = fixed + sum(over(a, b) for n, a in enumerate(best) for b in best[n + 1 :])
    placed: list[GearTrack] = []
    depth: dict[int, int] = {}
    for at, one in enumerate(best):
        above = [
            depth[other] + 1
            for other in best[:at]
            if spans[other][0] <= spans[one][1] and spans[one][0] <= spans[other][1]
        ]
        depth[one] = max(above, default=0)
        placed.append(tracks[one]._replace(number=depth[one]))
    return tuple(placed), crossings
