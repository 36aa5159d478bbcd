"""What is joined to what: the circuit of a platform.

It consists of links alone: wires, the copper in a box, and the paths inside parts. Nodes are terminals.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

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
from circuitmap.circuit.numbering import METAL, NumberedLinks
from circuitmap.circuit.resistors import loads_by_themselves
from circuitmap.circuit.untyped_ends import untyped_ends
from circuitmap.derived import Derives
from circuitmap.failures import LimitReached
from circuitmap.wiring.parts import Battery, Ground, Load, Part, Switch, Terminal, Undeclared
from circuitmap.wiring.platform import Platform, Wire

if TYPE_CHECKING:
    from circuitmap.circuit.hands_off import HandsOffMap

__all__ = [
    "BODY", "CASE_PIN", "METAL", "NEVER_CROSSED", "UNDRAWN_GROUND_PIN",
    "Assumption", "Circuit", "Link", "LinkKind", "LoadPins", "circuit_of",
]  # fmt: skip

MOST_LINKS = 60_000
"""How many links one circuit may have: wires, contacts, ways through parts; a load has one from each supply pin to each
ground pin (judgement: sixty times the largest sample)."""


@dataclass(frozen=True, kw_only=True)
class Circuit(Derives):
    """All links of a platform. Nodes are terminals; they also have numbers, for code that works on arrays.

    `ends[i]` are the node numbers of `links[i].a` and `.b`; `at[n]` the numbers of the links at node `n`.

    `supplies` are the terminals of batteries that current comes from: each plus, and the tap between two cells.
    `returns` are the terminals it goes back to: each minus that is not itself joined to the plus of another battery,
    and the body, when it is a return. It is none by itself where a contact, such as a main switch in the minus, lies
    between it and every minus: it is grounded as long as that is closed.

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
    def on_ground(self) -> tuple[Terminal, ...]:
        """What is ground while the vehicle is in use: the returns, and the body also where a switch lies before it."""
        body = (BODY,) if self.platform.body_return and BODY not in self.returns else ()
        return (*body, *self.returns)

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

    def told_apart(self, contact: str) -> tuple[int, ...]:
        """One of these links for each line that says when it conducts: several lines for one pin of a module turn that
        output on one or the other."""
        its = self.contacts[contact]
        first = {self.links[i].output: i for i in reversed(its)}
        return tuple(i for i in its if first[self.links[i].output] == i)

    @cached_property
    def contact_names(self) -> Mapping[int, str]:
        """For each of these links, by number, the contact or output that closes it."""
        return {i: link.contact for i, link in enumerate(self.links) if link.contact}

    @cached_property
    def hands_off(self) -> "HandsOffMap":
        """What nobody may touch on this platform, and why."""
        from circuitmap.circuit.carrying_hands_off import hands_off_map  # its words are many, and few commands ask

        supplies = {self.number[end] for end in (*self.supplies, *self.unknown_supplies)}
        returns = {self.number[end] for end in (*self.on_ground, *self.unknown_grounds)}
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
    platform: Platform, links: Iterable[Link], loads: dict[str, LoadPins], wired: Mapping[str, WiredPins]
) -> Circuit:
    its = NumberedLinks(links)
    if platform.body_return:
        its.node(BODY)
    batteries = tuple(part for part in platform.parts.values() if isinstance(part, Battery))
    supplies = tuple(
        Terminal(battery.name, post) for battery in batteries for post in (("+", "mid") if battery.series else ("+",))
    )
    minuses = tuple(Terminal(battery.name, "-") for battery in batteries)
    for terminal in (*supplies, *minuses):
        its.node(terminal)
    returns = _returns(platform, its, supplies, minuses)
    body = (BODY,) if platform.body_return else ()
    grounded: set[int] = set().union(*(its.joined_to(its.number[end]) for end in (*returns, *body)))
    pluses = {its.number[end] for end in supplies}
    slip = bool(grounded & pluses)  # a plus is typed to ground: nothing can be reasoned from it
    unknown_supplies, unknown_grounds = _unknown_ends(platform, its, loads, wired, pluses, grounded, slip)
    if not slip:
        for name, pins in loads_by_themselves(its.links, its.ends, pluses, grounded).items():
            loads[name] = pins
            its.add(Link(pins.supplies[0], pins.grounds[0], "load", name, condition=platform.parts[name].condition))
    return Circuit(
        platform=platform,
        links=tuple(its.links),
        nodes=tuple(its.number),
        number=its.number,
        ends=tuple(its.ends),
        at=tuple(tuple(links_here) for links_here in its.at),
        loads=loads,
        supplies=supplies,
        returns=returns,
        unknown_supplies=unknown_supplies,
        unknown_grounds=unknown_grounds,
    )


def _returns(
    platform: Platform, its: NumberedLinks, supplies: Iterable[Terminal], minuses: Iterable[Terminal]
) -> tuple[Terminal, ...]:
    """Where current goes back to; a minus of which nobody typed how it gets to the body is joined to it. A body that
    every minus comes to by contacts alone is no return by itself."""
    owners = {its.number[end]: end.part for end in supplies}
    grounds = {n for t, n in its.number.items() if isinstance(platform.parts.get(t.part), Ground) or t == BODY}
    returns: list[Terminal] = []
    switched: list[bool] = []
    for minus in minuses:
        start = its.number[minus]
        if any(owners[n] != minus.part for n in its.joined_to(start) & owners.keys()):
            continue  # two batteries are wired in series: this minus is the tap
        returns.append(minus)
        if platform.body_return and not its.joined_to(start, "contacts") & grounds:
            its.add(Link(minus, BODY, "body", minus.part, assumed="body"))
        body = its.number.get(BODY, -1)
        switched.append(body in its.joined_to(start, "contacts") and body not in its.joined_to(start, "resistors"))
    return (BODY, *returns) if platform.body_return and not (switched and all(switched)) else tuple(returns)


def _unknown_ends(
    platform: Platform, its: NumberedLinks, loads: Mapping[str, LoadPins], wired: Mapping[str, WiredPins],
    pluses: set[int], grounded: set[int], slip: bool,
) -> tuple[frozenset[Terminal], frozenset[Terminal]]:  # fmt: skip
    """Terminals that may be live, and terminals that may be grounded, for reasons that nobody transcribed. `grounded`
    is what metal joins to a return, unless that is a `slip`."""
    number = its.number
    supplies, dangling, loose = untyped_ends(platform, its.links, loads, wired)
    metal = grounded.union(*(its.joined_to(plus) for plus in pluses))
    supplies |= {end for end in loose if number[end] not in metal}
    # A node that some supply may reach is no ground, even where its wire leads off the drawn sheets.
    fed = its.fed_from({*pluses, *(number[end] for end in supplies)}, set() if slip else grounded)
    grounds = {end for end, surely in dangling.items() if surely or number[end] not in fed}
    # A supply pin whose wire leads off the drawn sheets, and which nothing else feeds, is fed from there.
    hungry = {number[pin] for pins in loads.values() for pin in pins.supplies if pin in number}
    for end, surely in dangling.items():
        if not surely and number[end] not in fed and hungry & its.joined_to(number[end]):
            supplies.add(end)
    return frozenset(supplies), frozenset(grounds)
