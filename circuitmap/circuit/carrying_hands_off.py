"""What feeds, grounds or carries a hands-off thing: the search through the circuit.

It errs on the side of leaving things alone. Ways are found by the blocks of the circuit: whatever lies on some way that
touches no point twice is taken to carry current there, in any position of any switch and with any equipment; but for
ways that need two positions of one switch at once.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from circuitmap.circuit.behind_high_voltage import behind_high_voltage, parts_at
from circuitmap.circuit.beside_hands_off import BesideHandsOff
from circuitmap.circuit.blocks import Block, Blocks, blocks_from, reached_from
from circuitmap.circuit.comes_by_converter import ByConverter
from circuitmap.circuit.hands_off import HandsOffMap, How, Untouchable
from circuitmap.circuit.link import BODY, Link
from circuitmap.circuit.meeting_open_ends import may_meet
from circuitmap.circuit.one_position import edges_that_conduct
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.wiring.hands_off import HandsOffReason, HandsOffThings, hands_off_things
from circuitmap.wiring.parts import (
    FIRST,
    SECOND,
    Fuse,
    Ground,
    HandsOff,
    Load,
    OpenEnd,
    Relay,
    Switch,
    Terminal,
    Undeclared,
)
from circuitmap.wiring.platform import Platform


def hands_off_map(
    platform: Platform,
    links: Sequence[Link],
    ends: Sequence[tuple[int, int]],
    nodes: Sequence[Terminal],
    supplies: Iterable[int],
    returns: Iterable[int],
) -> HandsOffMap:
    """`ends` are the numbers among `nodes` of the ends of each link; `supplies` are the nodes that current may come
    from, known or not; `returns` those that it goes back to."""
    things = platform.derived(hands_off_things)
    if not any((things.parts, things.networks, things.wires)) and not any(o.hands_off for o in platform.outputs):
        return HandsOffMap(platform, things, {}, {}, {})
    search = _Search(platform, things, links, ends, nodes, set(supplies), set(returns))
    search.run()
    return search.found()


class _Start(NamedTuple):
    """A node of a hands-off thing: where its supply or ground is looked for, or both (`signal`)."""

    node: int
    role: Literal["supply", "ground", "signal"]
    of: str
    reason: HandsOffReason


_SOURCES = ("alternator", "charger")
_WORST_FIRST: tuple[HandsOff, ...] = ("restraint", "high-voltage", "gas", "maker", "sealed")


def _weight(start: _Start) -> tuple[int, bool]:
    """What is told where several reasons hold: the worst; of equal ones, what is sure before what is in doubt."""
    return _WORST_FIRST.index(start.reason.why), start.reason.known_by == "doubt"


Around = list[tuple[int, int]]
"""Links at a node, each with the node at its other end."""


class _Up(NamedTuple):
    """The links by which current comes to each node of a block, each with the node that it comes from; the nodes that
    it comes to from the block's entry; those that it may come to over a fuse."""

    onward: dict[int, Around]
    to_entry: set[int]
    to_fuse: set[int]


class _Search:
    def __init__(
        self,
        platform: Platform,
        things: HandsOffThings,
        links: Sequence[Link],
        ends: Sequence[tuple[int, int]],
        nodes: Sequence[Terminal],
        supplies: set[int],
        returns: set[int],
    ) -> None:
        self.platform, self.things, self.links, self.ends, self.nodes = platform, things, links, ends, nodes
        self.number = {node: n for n, node in enumerate(nodes)}
        self.supplies = supplies
        parts = platform.parts
        self.grounds = returns | {
            n
            for n, node in enumerate(nodes)
            if node == BODY or (isinstance(its := parts.get(node.part), Ground) and not its.wired)
        }
        self.marked: dict[int, Untouchable] = {}
        self.around: list[Around] = [[] for _ in nodes]
        self.coils: list[Around] = [[] for _ in nodes]
        for i, link in enumerate(links):
            # What a hands-off part switches inside itself is not followed: its output's wires are marked from its pin.
            if link.kind in ("load", "battery", "body") or (link.kind == "output" and link.part in things.parts):
                continue
            a, b = ends[i]
            into = self.coils if link.kind == "coil" else self.around
            into[a].append((i, b))
            into[b].append((i, a))
        self.ends = [*ends]
        for fuse in (part for part in parts.values() if isinstance(part, Fuse) and part.empty):
            sides = [self.number.get(Terminal(fuse.name, pin)) for pin in (FIRST, SECOND)]
            if sides[0] is not None and sides[1] is not None:  # a fuse may be put in here
                self.around[sides[0]].append((len(self.ends), sides[1]))
                self.around[sides[1]].append((len(self.ends), sides[0]))
                self.ends.append((sides[0], sides[1]))
        self.always = self._always_live()
        self.by_converter = ByConverter(platform, links, self.around, self.always)
        self.to_supply = self._rooted(self.supplies, without=self.grounds)
        self.to_ground = self._rooted(self.grounds, without=self.supplies)
        self.done: dict[str, set[int]] = {"supply": set(), "ground": set()}
        self.ups: dict[tuple[int, bool], _Up] = {}

    def _always_live(self) -> set[int]:
        """Nodes that are live through wires and fuses (from their feed side) alone, whatever is switched or fitted. A
        contact that leads into one of them (such as the one between two batteries), or a fuse passed from its outgoing
        side, feeds nothing there that would be dead without it."""
        live, todo = set(self.supplies), list(self.supplies)
        while todo:
            here = todo.pop()
            for i, there in self.around[here]:
                link = self.links[i] if i < len(self.links) else None
                if link is None or link.is_gate or link.condition or there in live or there in self.grounds:
                    continue
                if (link.one_way or link.kind in PROTECTIVE) and self.ends[i][1] == here:
                    continue
                live.add(there)
                todo.append(there)
        return live

    def _rooted(self, roots: set[int], without: set[int]) -> Blocks:
        """Blocks of the graph that hangs on `roots`. All roots are one node there: a way ends at the first one it
        meets. Nodes `without` are left out."""
        top = len(self.nodes)
        neighbours: list[Around] = [[] for _ in range(top + 1)]
        for here, around in enumerate(self.around):
            if here in without and here not in roots:
                continue
            at = top if here in roots else here
            for i, there in around:
                end = top if there in roots else there
                if end != at and (there in roots or there not in without):
                    neighbours[at].append((i, end))
        return blocks_from(top, neighbours)

    def run(self) -> None:
        for start in sorted(self._starts(), key=_weight):
            self.mark(start.node, "itself" if self.nodes[start.node].part == start.of else "carries", start)
            match start.role:
                case "supply":
                    self.climb("supply", start)
                case "ground":
                    self.climb("ground", start)
                case "signal":
                    self.signal(start)
        self.over_open_ends()

    def mark(self, node: int, how: How, start: _Start) -> None:
        self.marked.setdefault(node, Untouchable(how, start.of, start.reason))

    def climb(self, towards: Literal["supply", "ground"], start: _Start, how: How | None = None) -> bool:
        """Marks everything that lies on some way from a node to the supplies or grounds; false where there is no such
        way."""
        supplying = towards == "supply"
        blocks, roots = (self.to_supply, self.supplies) if supplying else (self.to_ground, self.grounds)
        top, here, done = len(self.nodes), start.node, self.done[towards]
        way: How = how or ("feeds" if supplying else "grounds")
        if here in roots:
            return True
        while here != top and here not in done:
            block = blocks.above[here]
            if block is None:
                return False
            up = self._up(block, supplying)
            if here not in up.to_entry:
                return False
            done.add(here)
            for link, _, _ in edges_that_conduct(self.links, up.onward, block.entry, here):
                for node in self.ends[link]:
                    self.mark(node, way, start)
            if start.reason.known_by == "doubt" and here in up.to_fuse:
                return True
            here = block.entry
        return True

    def _is_fuse(self, i: int) -> bool:
        """Whether a link is a fuse: what is in doubt puts its own fuse off limits, but not everything ahead of that
        fuse."""
        return i >= len(self.links) or self.links[i].kind in PROTECTIVE

    def _up(self, block: Block, supplying: bool) -> "_Up":
        """What leads up through a block. Diodes and outputs pass it one way only. Nothing feeds what is live without it
        by a contact, nor by a fuse passed from its outgoing side, or one that only a charger or converter feeds."""
        key = id(block), supplying
        if key not in self.ups:
            onward: dict[int, Around] = {}
            below: dict[int, list[int]] = {}
            at_fuses: set[int] = set()
            for link, a, b in block.links:
                for here, there in ((a, b), (b, a)):
                    if here != block.entry and self._comes(link, here, supplying):
                        onward.setdefault(here, []).append((link, there))
                        below.setdefault(there, []).append(here)
                        if self._is_fuse(link):
                            at_fuses.add(here)
            self.ups[key] = _Up(onward, reached_from(below, {block.entry}), reached_from(below, at_fuses))
        return self.ups[key]

    def _comes(self, i: int, to: int, supplying: bool) -> bool:
        """Whether current can reach a node over a link, or leave it over that link to ground."""
        link = self.links[i] if i < len(self.links) else None
        if link is None:
            return True
        if link.one_way and self.ends[i][0 if supplying else 1] == to:
            return False
        goes_back = link.kind in PROTECTIVE and self.ends[i][0] == to
        made = link.kind in PROTECTIVE and self.by_converter.feeds(sum(self.ends[i]) - to)
        return not (supplying and to in self.always and (link.is_gate or goes_back or made))

    def signal(self, start: _Start) -> None:
        """For a pin that is neither fed nor grounded for certain: its supply, or else its ground and everything its
        wires reach; also what is behind the coil of a relay that it drives."""
        if self.climb("supply", start):
            return
        self.climb("ground", start)
        island, todo = {start.node}, [start.node]
        while todo:
            here = todo.pop()
            self.mark(here, "carries", start)
            for _, there in self.around[here]:
                if there not in island and there not in self.grounds:
                    island.add(there)
                    todo.append(there)
        for here in island:
            for _, there in self.coils[here]:
                self.mark(there, "carries", start)
                behind = start._replace(node=there)
                if not self.climb("supply", behind):
                    self.climb("ground", behind)

    def over_open_ends(self) -> None:
        """Where it is not drawn what feeds a hands-off thing, every wire that leads off the drawn sheets may be that
        feed, unless their words say that the two are not the same."""
        parts = self.platform.parts
        hungry = [
            (end, its)
            for node, its in list(self.marked.items())
            if isinstance(end := parts.get(self.nodes[node].part), OpenEnd)
            and end.from_supply
            # A high voltage whose source is not drawn is itself the hands-off thing; it does not hang on a fuse here.
            and not (its.how == "itself" and its.reason.why == "high-voltage")
        ]
        for node, terminal in enumerate(self.nodes):
            goes_on = parts.get(terminal.part)
            if not isinstance(goes_on, OpenEnd) or goes_on.from_supply:
                continue
            for end, its in hungry:
                if may_meet(self.platform, goes_on, end, its):
                    start = _Start(node, "supply", its.of, its.reason)
                    self.mark(node, "may-feed", start)
                    self.climb("supply", start, "may-feed")
                    break

    def _starts(self) -> Iterator[_Start]:
        parts = self.platform.parts
        reasons: dict[str, HandsOffReason] = dict(self.things.parts)
        at: dict[str, list[int]] = {}
        for n, terminal in enumerate(self.nodes):
            at.setdefault(terminal.part, []).append(n)
        for name, reason in reasons.items():
            part = parts[name]
            inside = part.inside if isinstance(part, Switch) else ""
            closes = {pin for contact in part.contacts for pin in contact[:2]} if isinstance(part, Switch) else set()
            own = [n for n in at.get(inside, ()) if self.nodes[n].pin in closes] if inside else at.get(name, ())
            for n in own:
                yield _Start(n, self._role(part, self.nodes[n]), name, reason)
            if isinstance(part, Fuse) and reason.why in ("restraint", "high-voltage") and reason.known_by != "doubt":
                self._hang_on(part, reason)
        for output in self.platform.outputs:
            if output.hands_off not in ("", "not") and output.terminal in self.number:
                reason = HandsOffReason(output.hands_off, "typed")
                yield _Start(self.number[output.terminal], "signal", str(output.terminal), reason)
        for number, reason in self.things.wires.items():
            wire = self.platform.wires[number]
            for end in (wire.a, wire.b):
                node = self.number.get(end)
                if node is not None and node not in self.supplies and node not in self.grounds:
                    yield _Start(node, self._role(parts.get(end.part), end), f"{wire.a} - {wire.b}", reason)
        for name, reason in self.things.networks.items():
            for member in self.platform.networks[name].members:
                for pin in member.pins:
                    if Terminal(member.part, pin) in self.number:
                        yield _Start(self.number[Terminal(member.part, pin)], "signal", name, reason)

    def _role(self, part: object, terminal: Terminal) -> Literal["supply", "ground", "signal"]:
        if isinstance(part, Load):
            match part.roles.get(terminal.pin, ""):
                case "supply" | "ground" as role:
                    return role
                case _:
                    return "ground" if terminal.pin in ("case", "?ground") else "signal"
        if isinstance(part, Fuse):
            return "supply"
        if isinstance(part, OpenEnd) and not part.from_supply:
            return "supply"
        if isinstance(part, Undeclared):
            return "signal"
        return "signal"

    def _hang_on(self, fuse: Fuse, reason: HandsOffReason) -> None:
        """Marks what hangs on a hands-off fuse: everything its outgoing side reaches, up to the parts there, but
        nothing behind another fuse, and nothing that somebody declared not to be hands-off."""
        first = self.number.get(Terminal(fuse.name, SECOND))
        if first is None:
            return
        above = self.number.get(Terminal(fuse.name, FIRST))
        seen, todo = {first, above}, [first]
        while todo:
            here = todo.pop()
            part = self.platform.parts.get(self.nodes[here].part)
            if (part is not None and part.hands_off == "not") or (isinstance(part, Fuse) and part is not fuse):
                continue
            self.mark(here, "hangs-on", _Start(here, "supply", fuse.name, reason))
            if isinstance(part, Load | Undeclared) or here in self.supplies:
                continue
            for _, there in self.around[here]:
                if there not in seen and there not in self.grounds:
                    seen.add(there)
                    todo.append(there)

    def found(self) -> HandsOffMap:
        parts: dict[str, Untouchable] = {}
        platform = self.platform
        for name, reason in self.things.parts.items():
            parts[name] = Untouchable("itself", name, reason)
        for name, reason in self.things.networks.items():
            for member in platform.networks[name].member_names:
                parts.setdefault(member, Untouchable("carries", name, reason))
        terminals: dict[Terminal, Untouchable] = {}
        beside = BesideHandsOff(platform, self.things, self.number, self.marked)
        for node, its in self.marked.items():
            terminal = self.nodes[node]
            part = platform.parts.get(terminal.part)
            if part is None or part.kind in ("battery", "box"):
                continue
            if part.kind in _SOURCES and its.how == "feeds":
                continue  # one source among several, and nothing's only feed
            terminals[terminal] = its
            free = part.hands_off == "not" and not isinstance(part, Fuse | Relay | Switch) and part.kind != "connector"
            if not free and not beside.only_passes(terminal, its):
                parts.setdefault(terminal.part, its)
        at_voltage = behind_high_voltage(
            platform, self.things, self.nodes, lambda node: (there for _, there in self.around[node]), self.grounds
        )
        for node, its in at_voltage.items():
            terminals.setdefault(self.nodes[node], its)
        parts = {**parts_at(platform, self.nodes, at_voltage), **parts}
        wires: dict[int, Untouchable] = {}
        for number, wire in enumerate(platform.wires):
            if number in self.things.wires:
                wires[number] = Untouchable("itself", f"{wire.a} - {wire.b}", self.things.wires[number])
            elif wire.a in terminals and wire.b in terminals:
                wires[number] = terminals[wire.b]
        outside = frozenset(self.nodes[node] for node in at_voltage)
        return HandsOffMap(platform, self.things, parts, terminals, wires, outside)
