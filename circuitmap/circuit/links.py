"""What is joined to what: the circuit of a platform.

It consists of links alone: wires, the copper in a box, and the paths inside parts. Nodes are terminals.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from circuitmap.circuit.carrying_hands_off import hands_off_map
from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.inside import (
    NO_WIRES,
    WiredPins,
    both,
    charted_pins,
    joined_inside,
    latching_coils,
    links_in,
    load_links,
    load_pins,
    output_links,
)
from circuitmap.circuit.link import (
    BODY,
    CASE_PIN,
    NEVER_CROSSED,
    UNDRAWN_GROUND_PIN,
    Assumption,
    Link,
    LinkKind,
    LoadPins,
)
from circuitmap.circuit.resistors import loads_by_themselves
from circuitmap.circuit.untyped_ends import untyped_ends
from circuitmap.derived import Derives
from circuitmap.failures import LimitReached
from circuitmap.wiring.parts import Battery, Ground, Load, Part, Switch, Terminal, Undeclared
from circuitmap.wiring.platform import Platform, Wire

__all__ = [
    "BODY", "CASE_PIN", "NEVER_CROSSED", "UNDRAWN_GROUND_PIN",
    "Assumption", "Circuit", "Link", "LinkKind", "LoadPins", "circuit_of",
]  # fmt: skip

MOST_LINKS = 60_000
"""How many links one circuit may have: wires, contacts, ways through parts; a load has one from each supply pin to each
ground pin (judgement: sixty times the largest sample)."""

METAL: frozenset[LinkKind] = frozenset(
    ("wire", "copper", "chart", "cavity", "joint", "body", "fuse", "link", "breaker")
)
"""What always conducts as long as nothing is pulled, unplugged or blown."""


@dataclass(frozen=True, kw_only=True)
class Circuit(Derives):
    """All links of a platform. Nodes are terminals; they also have numbers, for code that works on arrays.

    `ends[i]` are the node numbers of `links[i].a` and `.b`; `at[n]` the numbers of the links at node `n`.

    `supplies` are the terminals of batteries that current comes from: each plus, and the tap between two cells.
    `returns` are the terminals it goes back to: the body (when it is a return) and each minus that is not itself
    joined to the plus of another battery.

    `unknown_supplies` may be live for reasons that nobody transcribed: an open end that current comes from; the feed of
    a fuse or contact that has no wire; a supply pin or coil pin without a wire; a bar, splice or cavity that wires only
    leave; what leaves an undeclared part; an open end that a supply pin leads to and nothing else feeds.
    `unknown_grounds` may likewise be grounded: a ground pin or coil pin without a wire; and, unless it is on a supply,
    an open end, the far side of a contact that has no wire, or a splice or cavity that wires only come to.
    """

    platform: Platform
    links: tuple[Link, ...]
    nodes: tuple[Terminal, ...]
    number: Mapping[Terminal, int]
    ends: tuple[tuple[int, int], ...]
    at: tuple[tuple[int, ...], ...]
    loads: Mapping[str, LoadPins]
    supplies: tuple[Terminal, ...]
    returns: tuple[Terminal, ...]
    unknown_supplies: frozenset[Terminal]
    unknown_grounds: frozenset[Terminal]

    def links_at(self, terminal: Terminal) -> tuple[Link, ...]:
        number = self.number.get(terminal)
        return () if number is None else tuple(self.links[i] for i in self.at[number])

    @cached_property
    def inside(self) -> Mapping[str, tuple[int, ...]]:
        """Numbers of the links inside each part."""
        found: dict[str, list[int]] = {}
        for i, link in enumerate(self.links):
            if link.part:
                found.setdefault(link.part, []).append(i)
                if link.contact and link.a.part != link.part:  # a switch inside another part comes off with it
                    found.setdefault(link.a.part, []).append(i)
        return {part: tuple(links) for part, links in found.items()}

    @cached_property
    def terminals_of(self) -> Mapping[str, tuple[Terminal, ...]]:
        """The terminals of each part that any link ends at, in the order they were met."""
        found: dict[str, list[Terminal]] = {}
        for node in self.nodes:
            found.setdefault(node.part, []).append(node)
        return {part: tuple(nodes) for part, nodes in found.items()}

    @cached_property
    def contacts(self) -> Mapping[str, tuple[int, ...]]:
        """Numbers of the links that each contact or output closes."""
        found: dict[str, list[int]] = {}
        for i, link in enumerate(self.links):
            if link.contact:
                found.setdefault(link.contact, []).append(i)
        return {contact: tuple(links) for contact, links in found.items()}

    @cached_property
    def contact_names(self) -> Mapping[int, str]:
        """For each of these links, by number, the contact or output that closes it."""
        return {i: link.contact for i, link in enumerate(self.links) if link.contact}

    @cached_property
    def hands_off(self) -> HandsOffMap:
        """What nobody may touch on this platform, and why."""
        supplies = {self.number[end] for end in (*self.supplies, *self.unknown_supplies)}
        returns = {self.number[end] for end in (*self.returns, *self.unknown_grounds)}
        return hands_off_map(self.platform, self.links, self.ends, self.nodes, supplies, returns)

    def opened_by(self, name: str) -> frozenset[int]:
        """Numbers of the links that no longer conduct once `name` is unplugged, pulled or taken off.

        `name` is a part, one plug of a part (`BCM.A`) or a terminal (`BAT.-`, `X14.3`). Of a fuse, relay or load these
        are the paths inside it, of a connector all its cavities. Wires that share a crimp stay joined. Anything that
        only joins wires (a splice, a ring terminal, a ground point), and a battery post, lets go of every wire. So does
        a module's pin that nothing leads on from inside, such as one that watches a switch. Empty for any other name.
        """
        parts = self.platform.parts
        part = parts.get(name)
        if part is not None and part.kind in ("splice", "bar", "terminal", "ground", "battery"):
            return frozenset(i for node in self.terminals_of.get(name, ()) for i in self.at[self.number[node]])
        if part is not None:
            return frozenset(self.inside.get(name, ()))
        owner, _, pin = name.rpartition(".")
        while owner and owner not in parts:
            owner, _, more = owner.rpartition(".")
            pin = f"{more}.{pin}"
        if not owner:
            return frozenset()
        if parts[owner].kind == "battery":
            post = self.number.get(Terminal(owner, pin))
            return frozenset() if post is None else frozenset(self.at[post])
        plug = pin + "."
        inside = frozenset(
            i
            for i in self.inside.get(owner, ())
            for end in (self.links[i].a, self.links[i].b)
            if end.part == owner and (end.pin == pin or end.pin.startswith(plug))
        )
        watching = self.number.get(Terminal(owner, pin)) if isinstance(parts[owner], Load) else None
        return inside if inside or watching is None else frozenset(self.at[watching])


def circuit_of(platform: Platform) -> Circuit:
    """The circuit of a platform; linear in its wires and parts."""
    parts = platform.parts
    wired: dict[str, WiredPins] = {}
    links: list[Link] = []
    for wire in platform.wires:
        condition = wire.condition
        against = _against_the_arrow(parts, wire)
        for terminal, arrives in ((wire.a, False), (wire.b, True)):
            pins = wired.setdefault(terminal.part, WiredPins())
            (pins.arriving if arrives else pins.leaving)[terminal] = None
            if against:
                pins.against[terminal] = pins.against.get(terminal, 0) + 1
            pins.wires[terminal] = pins.wires.get(terminal, 0) + 1
            part = parts.get(terminal.part)
            if part is not None and part.condition:
                condition = both(condition, part.condition)
        # A chart says what hangs on a fuse, not through what: nothing comes back by that row.
        one_way = wire.kind == "chart"
        links.append(Link(wire.a, wire.b, wire.kind, wire=wire, one_way=one_way, condition=condition))

    loads: dict[str, LoadPins] = {}
    for name, part in parts.items():
        at_part = wired.get(name, NO_WIRES)
        if isinstance(part, (Load, Undeclared)):
            its_pins = load_pins(part, at_part, platform.body_return)
            if its_pins is not None:
                loads[name] = its_pins
                _count(len(links) + len(its_pins.supplies) * len(its_pins.grounds), name)
                links += load_links(part, its_pins)
                links += charted_pins(its_pins)
            if isinstance(part, Load):
                links += joined_inside(part)
        else:
            if isinstance(part, Switch) and part.inside in parts:  # it is there only with the part that it sits in
                part = replace(part, condition=both(part.condition, parts[part.inside].condition))
            if isinstance(part, Switch) and part.coils:
                loads[name], coils = latching_coils(part)
                links += coils
            links += links_in(part, at_part, platform.body_return)
            _count(len(links), name)
    for output in platform.outputs:
        _count(len(links), output.module)
        links += output_links(output, parts.get(output.module), loads.get(output.module))
    if platform.body_return:
        cases = dict.fromkeys(end for link in links for end in (link.a, link.b) if end.pin == CASE_PIN)
        links += (Link(case, BODY, "body", case.part) for case in cases)
    return _numbered(platform, links, loads, wired)


def _against_the_arrow(parts: Mapping[str, Part], wire: Wire) -> bool:
    """Whether the current flows against the arrow: the wire was followed from a load's supply pin, or to its ground
    pin."""
    a, b = parts.get(wire.a.part), parts.get(wire.b.part)
    return (isinstance(a, Load) and a.roles.get(wire.a.pin) == "supply") or (
        isinstance(b, Load) and b.roles.get(wire.b.pin) == "ground"
    )


def _count(links: int, part: str) -> None:
    if links > MOST_LINKS:
        raise LimitReached(
            f"With {part} there are more than {MOST_LINKS:,} wires, contacts and ways from a supply to a ground pin.",
            "A platform is one vehicle; a folder holds one platform.",
        )


def _numbered(
    platform: Platform, links: list[Link], loads: dict[str, LoadPins], wired: Mapping[str, WiredPins]
) -> Circuit:
    number: dict[Terminal, int] = {}
    ends: list[tuple[int, int]] = []
    at: list[list[int]] = []

    def node(terminal: Terminal) -> int:
        if terminal not in number:
            number[terminal] = len(at)
            at.append([])
        return number[terminal]

    def join(i: int) -> None:
        a, b = node(links[i].a), node(links[i].b)
        ends.append((a, b))
        at[a].append(i)
        if b != a:
            at[b].append(i)

    for i in range(len(links)):
        join(i)
    if platform.body_return:
        node(BODY)

    batteries = tuple(part for part in platform.parts.values() if isinstance(part, Battery))
    supplies = tuple(
        Terminal(battery.name, post) for battery in batteries for post in (("+", "mid") if battery.series else ("+",))
    )
    minuses = tuple(Terminal(battery.name, "-") for battery in batteries)
    for terminal in (*supplies, *minuses):
        node(terminal)

    pieces: dict[tuple[int, bool], set[int]] = {}

    def reached(start: int, through_contacts: bool) -> set[int]:
        """Nodes joined to `start` by metal, or also by contacts: the same for all of them."""
        if (start, through_contacts) in pieces:
            return pieces[start, through_contacts]
        seen, todo = {start}, [start]
        while todo:
            here = todo.pop()
            for i in at[here]:
                kind = links[i].kind
                if kind in METAL if not through_contacts else kind not in NEVER_CROSSED:
                    beyond = set(ends[i]) - seen
                    seen |= beyond
                    todo += beyond
        pieces.update(dict.fromkeys(((here, through_contacts) for here in seen), seen))
        return seen

    owners = {number[s]: s.part for s in supplies}
    grounds = {n for t, n in number.items() if isinstance(platform.parts.get(t.part), Ground) or t == BODY}
    returns = []
    for minus in minuses:
        start = number[minus]
        if any(owners[n] != minus.part for n in reached(start, False) & owners.keys()):
            continue  # two batteries are wired in series: this minus is the tap
        returns.append(minus)
        if platform.body_return and not reached(start, True) & grounds:
            links.append(Link(minus, BODY, "body", minus.part, assumed="body"))
            join(len(links) - 1)
            pieces.clear()
    if platform.body_return:
        returns.insert(0, BODY)

    unknown_supplies, dangling, loose = untyped_ends(platform, links, loads, wired)
    grounded: set[int] = set()
    for start in (number[end] for end in returns):
        if start not in grounded:
            grounded |= reached(start, False)
    metal = grounded.union(*(reached(start, False) for start in owners))
    unknown_supplies |= {end for end in loose if number[end] not in metal}
    if grounded & owners.keys():
        grounded = set()  # a plus is typed to ground: a slip, and nothing can be reasoned from it
    # A node that some supply may reach is no ground, even where its wire leads off the drawn sheets.
    fed = {*owners, *(number[end] for end in unknown_supplies)} - grounded
    todo = list(fed)
    while todo:
        here = todo.pop()
        for i in at[here]:
            a, b = ends[i]
            there = b if a == here else a
            if there in fed or there in grounded or links[i].kind in NEVER_CROSSED or (links[i].one_way and here == b):
                continue
            fed.add(there)
            todo.append(there)
    unknown_grounds = {end for end, surely in dangling.items() if surely or number[end] not in fed}
    # A supply pin whose wire leads off the drawn sheets, and which nothing else feeds, is fed from there.
    hungry = {number[pin] for pins in loads.values() for pin in pins.supplies if pin in number}
    for end, surely in dangling.items():
        if not surely and number[end] not in fed and hungry & reached(number[end], False):
            unknown_supplies.add(end)
    if not grounded & owners.keys():
        for name, pins in loads_by_themselves(links, ends, owners, grounded).items():
            loads[name] = pins
            links.append(
                Link(pins.supplies[0], pins.grounds[0], "load", name, condition=platform.parts[name].condition)
            )
            join(len(links) - 1)
    return Circuit(
        platform=platform,
        links=tuple(links),
        nodes=tuple(number),
        number=number,
        ends=tuple(ends),
        at=tuple(tuple(links_here) for links_here in at),
        loads=loads,
        supplies=supplies,
        returns=tuple(returns),
        unknown_supplies=frozenset(unknown_supplies),
        unknown_grounds=frozenset(unknown_grounds),
    )
