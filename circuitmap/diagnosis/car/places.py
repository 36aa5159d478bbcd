"""Where current can be measured, and which place carries the current of which other places."""

from collections import deque
from collections.abc import Container, Iterable, Mapping
from types import MappingProxyType

from circuitmap.circuit.links import NEVER_CROSSED
from circuitmap.derived import Derives
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.ways import Way, past_unfused, places_on, posts_from
from circuitmap.wiring.parts import FIRST, UNFUSED_KINDS, Battery, Box, Fuse, Terminal

JOINED_BY = "+"


class PlaceTree(Derives):
    """For every fuse, box and battery post the places upstream of it, the nearest first.

    Batteries that feed a common point while parked are one place, `BAT+AUX`, and so are fuses side by side: how they
    share the current is not known, so only their sum can be compared with anything.
    """

    def __init__(self, parked: Parked, added: Mapping[str, Way] = MappingProxyType({})) -> None:
        """`added` are the ways of what is on no sheet: a clamp goes round its own cable."""
        self.parked, self.added = parked, added
        batteries = _joined_batteries(parked)
        self._batteries = frozenset(batteries.values())
        self.joined: Mapping[str, str] = {**batteries, **parked.side_by_side}
        self._above: dict[str, tuple[str, ...]] = {}
        self._ways: dict[str, tuple[str, ...]] = {}
        self._feeds_part: dict[str, frozenset[str]] = {}

    def way_places(self, places: tuple[str, ...]) -> tuple[str, ...]:
        """The places of a way; batteries that share the current are taken together."""
        if not self.joined:
            return places
        return tuple(dict.fromkeys(self.joined.get(place, place) for place in places))

    def is_battery(self, place: str) -> bool:
        """Whether a place is a battery, or several that share the current; not the tap or minus post of a battery."""
        return place in self._batteries or isinstance(self.parked.platform.parts.get(place), Battery)

    def is_post(self, place: str) -> bool:
        """Whether a place is a battery or one of its posts."""
        return self.is_battery(place) or isinstance(self.parked.platform.parts.get(place.rpartition(".")[0]), Battery)

    def is_dead(self, place: str) -> bool:
        """Whether a fuse is without supply on a sound parked car."""
        place = self._one_of(place)
        part = self.parked.platform.parts.get(place)
        return isinstance(part, Fuse) and self.parked.ways.to(Terminal(place, FIRST)) is None

    def _one_of(self, place: str) -> str:
        """The first of several fuses side by side; any other place is itself."""
        return self.parked.members.get(place, (place,))[0]

    def members_of(self, joint: str) -> tuple[str, ...]:
        """The batteries or fuses that are one place."""
        return self.parked.members.get(joint) or tuple(joint.split(JOINED_BY))

    def above(self, place: str) -> tuple[str, ...]:
        """The places upstream of a place, the nearest first; not the place itself."""
        known = self._above.get(place)
        if known is None:
            known = self._above[place] = self._find(place)
        return known

    def _find(self, place: str) -> tuple[str, ...]:
        if place in self.added:
            return self.way_places(self.added[place].places[1:])
        part = self.parked.platform.parts.get(self._one_of(place))
        if isinstance(part, Fuse):
            own = self.joined.get(part.name, part.name)
            before = self.parked.converters.before(part.name)
            elsewhere = (own, *(before.places if before is not None else ()))
            return tuple(p for p in self.way_places(self._way_of(part)) if p not in elsewhere)
        if isinstance(part, Box):
            # What feeds all of the box: of several feeders, only what they have in common.
            inside = [p for p in self.parked.platform.fuses if p.name.startswith(f"{place}.")]
            ways = [self.way_places(self._way_of(fuse)) for fuse in inside]
            beyond = [way[way.index(place) + 1 :] for way in ways if place in way]
            if not beyond:
                return ()
            return tuple(p for p in beyond[0] if all(p in way for way in beyond))
        if part is not None and part.kind in UNFUSED_KINDS:
            fed = self.parked.way_to_its_cable(place)
            return (
                self.way_places(past_unfused(self.parked.platform, place, fed))
                if fed is not None
                else self.way_places(posts_from(self.parked.circuit, Terminal("", "")))
            )
        owner, _, pin = place.rpartition(".")
        if isinstance(self.parked.platform.parts.get(owner), Battery):
            posts = posts_from(self.parked.circuit, Terminal(owner, "mid" if pin == "mid" else "+"))
            return self.way_places(posts[posts.index(place) + 1 :]) if place in posts else ()
        if isinstance(part, Battery):
            return self.way_places(posts_from(self.parked.circuit, Terminal(place, "+")))[1:]
        return ()

    def hangs_on(self, place: str, out: Iterable[str]) -> bool:
        """Whether a place gets its current through something of what is `out`, or is that itself; a battery's post does
        not."""
        names = set(out)
        part = self.parked.platform.parts.get(self._one_of(place))
        way = self.parked.ways.to(Terminal(part.name, FIRST)) if isinstance(part, Fuse) else None
        through = way.through if way is not None else frozenset[str]()
        return not names.isdisjoint((place, self._one_of(place), *self.above(place), *through))

    def feeds_part_of(self, box: str, place: str) -> bool:
        """Whether a place feeds some of a box's fuses and not others."""
        known = self._feeds_part.get(box)
        if known is None:
            inside = [p for p in self.parked.platform.fuses if p.name.startswith(f"{box}.")]
            ways = [self.way_places(self._way_of(fuse)) for fuse in inside]
            beyond = [frozenset(way[way.index(box) :]) for way in ways if box in way]
            known = self._feeds_part[box] = frozenset().union(*beyond) - frozenset.intersection(
                *beyond or [frozenset()]
            )
        return place in known

    def _way_of(self, fuse: Fuse) -> tuple[str, ...]:
        known = self._ways.get(fuse.name)
        if known is None:
            known = self._ways[fuse.name] = self._find_way(fuse)
        return known

    def _find_way(self, fuse: Fuse) -> tuple[str, ...]:
        way = self.parked.ways.to(Terminal(fuse.name, FIRST))
        if way is not None:
            parts = (fuse.name, *way.places)
            box = self.parked.platform.box_of(fuse.name)
            if box is not None and box.name not in parts:
                parts = (fuse.name, box.name, *way.places)
            return parts
        return self._way_with_contacts_closed(Terminal(fuse.name, FIRST))

    def _way_with_contacts_closed(self, terminal: Terminal) -> tuple[str, ...]:
        """The shortest way for a fuse that is dead while parked, through any contact."""
        circuit = self.parked.circuit
        start = circuit.number.get(terminal)
        if start is None:
            return (terminal.part,)
        goals = {circuit.number[supply] for supply in circuit.supplies}
        came: dict[int, tuple[int, int]] = {start: (-1, -1)}
        queue = deque([start])
        while queue:
            at = queue.popleft()
            if at in goals:
                return self._places_back(came, at, terminal.part)
            for i in circuit.at[at]:
                link = circuit.links[i]
                a, b = circuit.ends[i]
                other = b if at == a else a
                against = link.one_way and at == a
                if other in came or against or link.kind in NEVER_CROSSED or link.kind == "body":
                    continue
                came[other] = (i, at)
                queue.append(other)
        return (terminal.part,)

    def _places_back(self, came: Mapping[int, tuple[int, int]], source: int, fuse: str) -> tuple[str, ...]:
        circuit = self.parked.circuit
        parts: list[str] = []
        link, at = came[source]
        while link != -1:
            its = circuit.links[link]
            parts += [end.part for end in (its.b, its.a) if end.part] + ([its.part] if its.part else [])
            link, at = came[at]
        return (*places_on(circuit.platform, [fuse, *reversed(parts)]), *posts_from(circuit, circuit.nodes[source]))


def _joined_batteries(parked: Parked) -> dict[str, str]:
    """Batteries that share the current of some point while parked, each with the joint name of its group."""
    cells = parked.plan.cells
    group = {cell.battery: {cell.battery} for cell in cells}
    plus = {n: cell.battery for n, cell in enumerate(cells)}
    for bits in set(parked.powered.settled.reach.supply):
        together = [plus[n] for n in plus if bits >> n & 1]
        for name in together[1:]:
            if group[name] is not group[together[0]]:
                merged = group[together[0]] | group[name]
                for member in merged:
                    group[member] = merged
    return {name: JOINED_BY.join(sorted(its)) for name, its in group.items() if len(its) > 1}


def nearest(places: Iterable[str], measured: Container[str]) -> str | None:
    """The first of the places that was measured."""
    for place in places:  # a plain loop: this is called for every current at every reading
        if place in measured:
            return place
    return None
