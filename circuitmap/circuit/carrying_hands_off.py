"""What feeds, grounds or carries a hands-off thing: the search through the circuit.

It errs on the side of leaving things alone. Ways are found by the blocks of the circuit: whatever lies on some way that
touches no point twice is taken to carry current there, in any position of any switch and with any equipment; but for
ways that need two positions of one switch at once.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from circuitmap.circuit.behind_high_voltage import behind_high_voltage, parts_at
from circuitmap.circuit.beside_hands_off import BesideHandsOff
from circuitmap.circuit.dead_ends import Edge
from circuitmap.circuit.hands_off import HandsOffMap, How, Untouchable
from circuitmap.circuit.link import BODY, Link
from circuitmap.circuit.meeting_open_ends import may_meet
from circuitmap.circuit.outranked import Outranked
from circuitmap.circuit.same_copper import same_copper
from circuitmap.circuit.ways_up import Around, WaysUp
from circuitmap.circuit.works_its_relay import CoilsOf, is_sure
from circuitmap.wiring.hands_off import HandsOffReason, HandsOffThings, hands_off_things
from circuitmap.wiring.parts import (
    FIRST,
    SECOND,
    Fuse,
    Ground,
    HandsOff,
    Joint,
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
    """A node of a hands-off thing: where its supply or ground is looked for, or both (`signal`), or neither, because
    it only is in there (`inside`)."""

    node: int
    role: Literal["supply", "ground", "signal", "inside"]
    of: str
    reason: HandsOffReason


_SOURCES = ("alternator", "charger")
_WORST_FIRST: tuple[HandsOff, ...] = ("restraint", "high-voltage", "gas", "maker", "sealed")


def _weight(start: _Start) -> tuple[int, bool]:
    """What is told where several reasons hold: the worst; of equal ones, what is sure before what is in doubt."""
    return _WORST_FIRST.index(start.reason.why), start.reason.known_by == "doubt"


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
        self.loads_fed: list[list[int]] = [[] for _ in nodes]
        for i, link in enumerate(links):
            if link.kind == "load":
                self.loads_fed[ends[i][1]].append(ends[i][0])
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
        self.ways = WaysUp(platform, links, self.ends, self.around, self.supplies, self.grounds)
        self.outranked = Outranked(platform, things, links, nodes, self.around)
        self.done: dict[tuple[str, bool], set[int]] = {}
        self.worked: dict[str, _Start] = {}

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
                case "inside":
                    pass
        self.over_open_ends()
        coils = CoilsOf(self.platform, self.links, self.ends, self.nodes, self.around, self.ways)
        for start, nodes in coils.working(self.worked):
            for node in nodes:
                self.mark(node, "works-relay", start)

    def mark(self, node: int, how: How, start: _Start) -> None:
        self.marked.setdefault(node, Untouchable(how, start.of, start.reason))

    def climb(self, towards: Literal["supply", "ground"], start: _Start, how: How | None = None) -> bool:
        """Marks everything that lies on some way from a node to the supplies or grounds; false where there is no such
        way."""
        doubtful = start.reason.known_by == "doubt"
        sure_done = self.done.setdefault((towards, False), set())
        done = self.done.setdefault((towards, True), set()) if doubtful else sure_done
        here = start.node
        way: How = how or ("feeds" if towards == "supply" else "grounds")
        if here in self.ways.roots(towards):
            return True
        while here != self.ways.top and here not in done and here not in sure_done:
            up = self.ways.step(towards, here)
            if up is None:
                return False
            done.add(here)
            edges = up.edges if towards == "supply" or not doubtful else self._unshared(up.edges, here)
            for link, _, _ in edges:
                for node in self.ends[link]:
                    self.mark(node, way, start)
                if link < len(self.links) and self.links[link].energised is not None and is_sure(start.reason):
                    self.worked.setdefault(self.links[link].part, start)
            if doubtful and (up.over_fuse or len(edges) < len(up.edges)):
                return True  # its own fuse and ground wire are off limits, but not what is ahead of them
            here = up.entry
        return True

    def _unshared(self, edges: Sequence[Edge], here: int) -> list[Edge]:
        """Those of the links to ground up to the first splice or ground point that others use as well."""
        at: dict[int, list[Edge]] = {}
        for edge in edges:
            at.setdefault(edge[1], []).append(edge)
        found: list[Edge] = []
        seen, todo = {here}, [here]
        while todo:
            for edge in at.get(todo.pop(), ()):
                link, below, there = edge
                end = there if there != self.ways.top else sum(self.ends[link]) - below
                if len(self.around[end]) > (1 if end in self.grounds else 2):
                    continue
                found.append(edge)
                if there not in seen:
                    seen.add(there)
                    todo.append(there)
        return found

    def signal(self, start: _Start) -> None:
        """For a pin that is neither fed nor grounded for certain: its supply, or else its ground and everything its
        wires reach; also what is behind the coil of a relay that it drives, or feeds a load that it grounds."""
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
            for there in self.loads_fed[here]:
                self.mark(there, "carries", start)
                self.climb("supply", start._replace(node=there))

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
                inside_only = isinstance(part, Joint) and self.outranked.cavity(n)
                yield _Start(n, "inside" if inside_only else self._role(part, self.nodes[n]), name, reason)
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
        by_terminal = {self.nodes[node]: its for node, its in self.marked.items()}
        for node, its in self.marked.items():
            terminal = self.nodes[node]
            part = platform.parts.get(terminal.part)
            if part is None or part.kind in ("battery", "box"):
                continue
            if part.kind in _SOURCES and its.how == "feeds":
                continue  # one source among several, and nothing's only feed
            terminals[terminal] = its
            free = part.hands_off == "not" and not isinstance(part, Fuse | Relay | Switch) and part.kind != "connector"
            if its.how == "works-relay" and its.reason.known_by == "typed":
                free = False  # it is no such thing itself, as was typed, but it holds the feed of one
            free |= self.outranked.only_told(part, terminal, by_terminal)
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
        roots = self.supplies | self.grounds
        beside_it = same_copper(platform, self.nodes, self.links, self.ends, self.marked, roots)
        return HandsOffMap(platform, self.things, parts, terminals, wires, outside, beside_it)
