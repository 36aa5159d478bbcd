"""The way that current takes to a pin in one state of the vehicle, and the places on it where it can be measured."""

from collections import deque
from collections.abc import Iterable, Mapping
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from circuitmap.circuit.links import METAL, Circuit, Link
from circuitmap.power.evaluate import Powered
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import NO, YES
from circuitmap.wiring.parts import UNFUSED_KINDS, Battery, Box, Fuse, Load, Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform


class Way(NamedTuple):
    """How current reaches a pin. `places` are where it can be measured, the nearest to the pin first: fuses, boxes'
    feeders, battery posts. `through` are all parts and contacts on it: without one of them nothing flows; of fuses
    side by side only their joint name, since one alone carries on. `known` is false when the way begins at a place that
    nobody transcribed.
    """

    places: tuple[str, ...]
    through: frozenset[str]
    known: bool = True


class CurrentWays:
    """Ways from the sources of one settled state; each is worked out when it is asked for.

    What is live in the `parked` state already keeps its way, unless that runs through something that is `out`.
    `looked_at` counts the nodes of all trees of ways.
    """

    def __init__(
        self,
        powered: Powered,
        parked: "CurrentWays | None" = None,
        out: frozenset[str] = frozenset(),
        side_by_side: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        """`side_by_side` are the joint names of fuses that share a current."""
        self.powered = powered
        self.parked = parked
        self.out = out
        self.side_by_side: Mapping[str, str] = side_by_side if parked is None else parked.side_by_side
        self.looked_at = 0
        self._found: dict[int, Way | None] = {}
        self._with_own: dict[int, Way | None] = {}
        self._names = powered.circuit.derived(_NamesOnLinks)
        self._on_trees: tuple[dict[int, Way], dict[int, Way]] = ({}, {})

    def to(self, terminal: Terminal) -> Way | None:
        """The shortest way to a terminal that certainly conducts, or else one that may; None if there is none."""
        node = self.powered.circuit.number.get(terminal)
        return None if node is None else self.to_node(node)

    def to_node(self, node: int) -> Way | None:
        """The way to a node, with the part that it is a pin of: what is taken there ends with that, too."""
        if node not in self._with_own:
            way, own = self.up_to_node(node), self.powered.circuit.nodes[node].part
            if way is not None and own and way.through.isdisjoint((own, self.side_by_side.get(own, own))):
                way = way._replace(through=way.through | {own})
            self._with_own[node] = way
        return self._with_own[node]

    def up_to_node(self, node: int) -> Way | None:
        """The same without the part there: what goes on from that pin over another wire does not end with it."""
        if self.parked is not None and self.parked.is_certain(node):
            way = self.parked.up_to_node(node)
            if not self.out or way is None or not way.through & self.out:
                return way
        if node not in self._found:
            certain = self.is_certain(node)
            way = self._from_parked(node, YES if certain else NO + 1)
            way = way or self._way(node, certain)
            self._found[node] = self.as_joint(way) if way is not None and self.side_by_side else way
        return self._found[node]

    def as_joint(self, way: Way) -> Way:
        """The same way, with each of several fuses side by side as all of them, as long as all are in."""
        passed = {name for name in way.through if name in self.side_by_side}
        alone = {name for name in self.side_by_side if name in self.out}
        joint = {name for name in passed if self.side_by_side[name] not in {self.side_by_side[its] for its in alone}}
        return way._replace(through=way.through - joint | {self.side_by_side[name] for name in joint})

    def _from_parked(self, node: int, least: int) -> Way | None:
        """The way to a node from the nearest place that is live while parked, and on from there as when parked."""
        if self.parked is None:
            return None
        powered = self.powered
        circuit, nets = powered.circuit, powered.nets
        reach = powered.settled.reach
        bits = reach.supply if least == YES else reach.perhaps_supply
        links, ends, links_at, net_of = circuit.links, circuit.ends, circuit.at, nets.net_of
        bridged, parked = self._bridged, self.parked
        live_already, parked_net_of = parked.powered.settled.reach.supply, parked.powered.nets.net_of
        came: dict[int, tuple[int, int]] = {node: (-1, -1)}
        queue = deque([node])
        while queue:
            at = queue.popleft()
            if at != node and live_already[parked_net_of[at]]:
                before = parked.up_to_node(at)
                if before is not None and not before.through & self.out:
                    return self._joined(came, at, before)
            for i in links_at[at]:
                a, b = ends[i]
                other = b if at == a else a
                if other in came or not bits[net_of[other]] or (links[i].one_way and at == a):
                    continue
                if level_of(powered, i) >= least:
                    came[other] = (i, at)
                    queue.append(other)
            for other in bridged.get(at, ()):
                if other not in came:
                    came[other] = (-2, at)
                    queue.append(other)
        return None

    def _joined(self, came: Mapping[int, tuple[int, int]], junction: int, before: Way) -> Way:
        """A way from a junction to a node, and before it the way to the junction."""
        names = self._names
        passed: list[str] = []
        link, at = came[junction]
        while link != -1:
            if link >= 0:
                passed += names.of[link][::-1]
            link, at = came[at]
        nearer = tuple(p for p in places_on(self.powered.circuit.platform, passed[::-1]) if p not in before.places)
        return Way((*nearer, *before.places), before.through.union(passed).difference(names.boxes), before.known)

    @cached_property
    def _bridged(self) -> Mapping[int, list[int]]:
        """Nodes that touch other nodes where they should not."""
        number = self.powered.circuit.number
        found: dict[int, list[int]] = {}
        for start, end in self.powered.state.bridged:
            if start in number and end in number:
                found.setdefault(number[start], []).append(number[end])
                found.setdefault(number[end], []).append(number[start])
        return found

    def is_certain(self, node: int) -> bool:
        """Whether a node is live for certain in this state."""
        return bool(self.powered.settled.reach.supply[self.powered.nets.net_of[node]])

    @cached_property
    def _certain(self) -> Mapping[int, tuple[int, int]]:
        return self._tree(YES)

    @cached_property
    def _perhaps(self) -> Mapping[int, tuple[int, int]]:
        return self._tree(NO + 1)

    def _tree(self, least: int) -> Mapping[int, tuple[int, int]]:
        """For every node that current reaches, the link by which it comes and the node before; -1 for sources."""
        powered = self.powered
        circuit, plan, nets = powered.circuit, powered.plan, powered.nets
        bits = powered.settled.reach.supply if least == YES else powered.settled.reach.perhaps_supply
        starts = [cell.plus for cell, source in zip(plan.cells, nets.sources, strict=True) if source.level >= least]
        labelled = {net for net, _ in powered.run.starts.supply}
        starts += [node for node, _ in plan.stated if nets.net_of[node] in labelled]
        if least < YES:
            # What comes from outside the vehicle at another voltage is no way of a current that its batteries give.
            outside = circuit.hands_off.from_outside
            starts += [node for node in plan.unknown_supplies if circuit.nodes[node] not in outside]
        came: dict[int, tuple[int, int]] = dict.fromkeys(starts, (-1, -1))
        queue = deque(came)
        links, ends, links_at, net_of = circuit.links, circuit.ends, circuit.at, nets.net_of
        bridged = self._bridged
        while queue:
            at = queue.popleft()
            for i in links_at[at]:
                a, b = ends[i]
                other = b if at == a else a
                if other in came or not bits[net_of[other]] or (links[i].one_way and at == b):
                    continue
                if level_of(powered, i) >= least:
                    came[other] = (i, at)
                    queue.append(other)
            for other in bridged.get(at, ()):
                if other not in came:
                    came[other] = (-2, at)
                    queue.append(other)
        self.looked_at += len(came)
        return came

    def _way(self, node: int, certain: bool) -> Way | None:
        """The way in the tree; if it passes a node whose way is already known, the way from there on."""
        tree, known = (self._certain if certain else self._perhaps), self._on_trees[certain]
        if node not in tree:
            return None
        circuit, names = self.powered.circuit, self._names
        passed: list[str] = []
        at = node
        while at not in known:
            link, before = tree[at]
            if link == -1:
                terminal = circuit.nodes[at]
                is_known = isinstance(circuit.platform.parts.get(terminal.part), Battery)
                known[at] = Way(posts_from(circuit, terminal), frozenset((terminal.part,)), is_known)
                break
            if link >= 0:
                passed += names.of[link]
            at = before
        rest = known[at]
        if node not in known:
            nearer = tuple(place for place in places_on(circuit.platform, passed) if place not in rest.places)
            through = rest.through.union(passed).difference(names.boxes)
            known[node] = Way((*nearer, *rest.places), through, rest.known)
        return known[node]


class _NamesOnLinks:
    """What current passes on each link of a circuit: the part and contact that it runs in, and what it ends at. At the
    pin of a switch, relay, fuse or load wires may do no more than meet, and they stay joined with that part out: of
    such an end only its box counts. The cables of an alternator or starter share a stud, and come off together."""

    def __init__(self, circuit: Circuit) -> None:
        parts = circuit.platform.parts
        self.boxes = frozenset(name for name, part in parts.items() if isinstance(part, Box))
        met = {
            name: box.name if (box := circuit.platform.box_of(name)) is not None else ""
            for name, part in parts.items()
            if isinstance(part, Fuse | Switch | Relay) or (isinstance(part, Load) and part.kind not in UNFUSED_KINDS)
        }
        self.of = [self._names(link, met) for link in circuit.links]

    def _names(self, link: Link, met: Mapping[str, str]) -> tuple[str, ...]:
        ends = (link.a.part, link.b.part)
        if not link.part:
            ends = (met.get(ends[0], ends[0]), met.get(ends[1], ends[1]))
        return tuple(name for name in (link.part, link.contact, *ends) if name)


def names_on(circuit: Circuit, links: Iterable[int]) -> frozenset[str]:
    """The parts and contacts that a current passes on these links, bridges (-1) left out, and no boxes."""
    names = circuit.derived(_NamesOnLinks)
    return frozenset(name for link in links if link >= 0 for name in names.of[link]) - names.boxes


def places_on(platform: Platform, parts: list[str]) -> tuple[str, ...]:
    """The fuses and boxes among parts ordered from a pin to its source; a box stands where it is entered last."""
    order = {part: n for n, part in enumerate(parts)}
    found: dict[str, float] = {}
    for part, n in order.items():
        its = platform.parts.get(part)
        if isinstance(its, Fuse):
            found[part] = n
        if isinstance(its, Box):
            found[part] = max(found.get(part, 0.0), n + 0.5)
        if "." in part:
            box = platform.box_of(part)
            if box is not None:
                found[box.name] = max(found.get(box.name, 0.0), n + 0.5)
    return tuple(sorted(found, key=found.__getitem__))


def past_unfused(platform: Platform, part: str, way: Way) -> tuple[str, ...]:
    """The places on the way to an alternator or starter: where its cable hangs on the terminal of another of them, the
    cable of that one carries both."""
    others = (name for name in sorted(way.through) if name != part and name in platform.parts)
    chain = tuple(name for name in others if platform.parts[name].kind in UNFUSED_KINDS)
    return (*(name for name in chain if name not in way.places), *way.places)


def posts_from(circuit: Circuit, source: Terminal) -> tuple[str, ...]:
    """The battery posts that current from a source passes, the nearest first.

    Of two batteries in series as one, `BAT` is the plus post, `BAT.mid` the tap and `BAT.-` the minus post, which
    carries both. Batteries wired in series follow each other. Current from a place that nobody transcribed is taken to
    come from the first battery.
    """
    return circuit.derived(_Posts).above(source)


class _Posts:
    """The posts above each source of one circuit, worked out when asked for."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._known: dict[Terminal, tuple[str, ...]] = {}

    def above(self, source: Terminal) -> tuple[str, ...]:
        if source not in self._known:
            self._known[source] = _find_posts(self._circuit, source)
        return self._known[source]


def _find_posts(circuit: Circuit, source: Terminal) -> tuple[str, ...]:
    posts: list[str] = []
    at: Terminal | None = source
    batteries = [part for part in circuit.platform.parts.values() if isinstance(part, Battery)]
    if not any(battery.name == source.part for battery in batteries):
        first = next((battery for battery in batteries if not battery.condition), None)
        at = Terminal(first.name, "+") if first is not None else None
    while at is not None:
        battery = circuit.platform.parts[at.part]
        assert isinstance(battery, Battery)
        if battery.series:
            posts += [f"{at.part}.mid" if at.pin == "mid" else at.part, f"{at.part}.-"]
        else:
            posts.append(at.part)
        minus = Terminal(at.part, "-")
        below = next((b for b in batteries if b.name != at.part and _joined(circuit, minus, b.name)), None)
        at = Terminal(below.name, "+") if below is not None and below.name not in posts else None
    return tuple(posts)


def _joined(circuit: Circuit, minus: Terminal, battery: str) -> bool:
    """Whether metal joins a minus post to the plus post of another battery."""
    start, goal = circuit.number.get(minus), circuit.number.get(Terminal(battery, "+"))
    if start is None or goal is None or minus in circuit.returns:
        return False
    seen, todo = {start}, [start]
    while todo:
        here = todo.pop()
        for i in circuit.at[here]:
            if circuit.links[i].kind in METAL:
                a, b = circuit.ends[i]
                there = b if a == here else a
                if there == goal:
                    return True
                if there not in seen:
                    seen.add(there)
                    todo.append(there)
    return False
