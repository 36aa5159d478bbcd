"""The conducting paths inside each kind of part."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from circuitmap.circuit.link import BODY, CASE_PIN, UNDRAWN_GROUND_PIN, Assumption, Link, LinkKind, LoadPins
from circuitmap.wiring.parts import (
    ANY_PIN,
    FIRST,
    SECOND,
    Battery,
    Condition,
    Diode,
    Fuse,
    Ground,
    Joint,
    Load,
    Part,
    Relay,
    Resistor,
    Switch,
    Terminal,
    Undeclared,
    is_unnamed,
)
from circuitmap.wiring.platform import Output

SUPPLY_PINS_BY_CUSTOM = ("30", "B+", "+")
"""Supply pins of starters, alternators and chargers whose roles nobody typed (30 and B+: DIN 72552; +: common
practice, no source)."""
GROUNDED_BY_MOUNTING = ("starter", "alternator")
"""Loads whose ground is their own housing when no other is drawn (common practice, no source)."""


@dataclass(slots=True)
class WiredPins:
    """The terminals of one part at which a wire arrives, and those that a wire leaves, as the sheets were read; how
    many wires each has, and in how many of them the current flows against the arrow."""

    arriving: dict[Terminal, None] = field(default_factory=dict)
    leaving: dict[Terminal, None] = field(default_factory=dict)
    wires: dict[Terminal, int] = field(default_factory=dict)
    against: dict[Terminal, int] = field(default_factory=dict)

    @property
    def all(self) -> tuple[Terminal, ...]:
        return tuple({**self.arriving, **self.leaving})

    def __contains__(self, terminal: Terminal) -> bool:
        return terminal in self.arriving or terminal in self.leaving


NO_WIRES = WiredPins()


def links_in(part: Part, wired: WiredPins, body_return: bool) -> Iterator[Link]:
    """The paths inside a part, except those of loads and outputs."""
    name, condition = part.name, part.condition
    if isinstance(part, Fuse):
        if not part.empty:
            kind: LinkKind = "link" if part.kind == "link" else "breaker" if part.kind == "breaker" else "fuse"
            for a, b in _sides(name, wired):
                yield Link(a, b, kind, name, condition=condition)
    elif isinstance(part, Diode):
        yield Link(Terminal(name, FIRST), Terminal(name, SECOND), "diode", name, one_way=True, condition=condition)
    elif isinstance(part, Resistor):
        yield Link(Terminal(name, FIRST), Terminal(name, SECOND), "resistor", name, condition=condition)
    elif isinstance(part, Switch):
        yield from _switch_contacts(part)
    elif isinstance(part, Relay):
        yield from _relay(part, wired)
    elif isinstance(part, Joint):
        yield from _joint(part, wired)
    elif isinstance(part, Ground):
        yield from _joined_pins(part, wired)
        if body_return and not part.wired and part.name != BODY.part:
            yield Link(Terminal(name), BODY, "body", name, condition=condition)
    elif isinstance(part, Battery):
        posts = ("+", "mid", "-") if part.series else ("+", "-")
        for plus, minus in pairwise(posts):
            yield Link(Terminal(name, plus), Terminal(name, minus), "battery", name, condition=condition)


def latching_coils(relay: Switch) -> tuple[LoadPins, tuple[Link, ...]]:
    """The coils that set and reset a latching relay: each takes current while it is fed."""
    pairs = tuple((Terminal(relay.owner, plus), Terminal(relay.owner, minus)) for plus, minus in relay.coils)
    pins = LoadPins(
        relay.name,
        tuple(dict.fromkeys(plus for plus, _ in pairs)),
        tuple(dict.fromkeys(minus for _, minus in pairs)),
        supply_drawn=True,
        ground_drawn=True,
    )
    return pins, tuple(Link(plus, minus, "load", relay.name, condition=relay.condition) for plus, minus in pairs)


def joined_inside(load: Load) -> Iterator[Link]:
    """Pins that are one piece of metal inside a load: a sensor in the battery's minus cable, a second ground pin."""
    for a, b in load.joined:
        yield Link(Terminal(load.name, a), Terminal(load.name, b), "joint", load.name, condition=load.condition)


def load_pins(part: Load | Undeclared, wired: WiredPins, body_return: bool) -> LoadPins | None:
    """Where a load takes its current; None for a name that stands only in lists, such as a network member."""
    name = part.name
    supplies: dict[Terminal, None] = {}
    grounds: dict[Terminal, None] = {}
    if isinstance(part, Load):
        for pin, role in part.roles.items():
            if role == "supply":
                supplies[Terminal(name, pin)] = None
            elif role == "ground":
                grounds[Terminal(name, pin)] = None
        for terminal in wired.all:
            if is_unnamed(terminal.pin) and terminal in wired.arriving:
                supplies[terminal] = None
            elif part.roles.get(terminal.pin):
                continue
            elif terminal.pin == CASE_PIN:
                grounds[terminal] = None
            elif part.kind in ("starter", "alternator", "charger"):
                if terminal.pin in SUPPLY_PINS_BY_CUSTOM:
                    supplies[terminal] = None
                elif terminal.pin in ("31", "B-", "-"):
                    grounds[terminal] = None
        if part.kind == "sensor" and not supplies:
            _between_its_wires(part, wired, supplies, grounds)
    else:
        supplies = dict(wired.arriving)
    if not supplies and not grounds and not wired.all:
        return None
    perhaps: tuple[Terminal, ...] = ()
    if any(is_unnamed(its.pin) for its in supplies):
        perhaps = tuple(its for its in supplies if its not in wired)
        supplies = {its: None for its in supplies if its in wired}
    ground_drawn = bool(grounds)
    if not grounds:
        by_mounting = part.kind in GROUNDED_BY_MOUNTING and body_return
        grounds[Terminal(name, CASE_PIN if by_mounting else UNDRAWN_GROUND_PIN)] = None
    supply_drawn = bool(supplies)
    if not supplies:
        supplies[Terminal(name, ANY_PIN)] = None
    return LoadPins(name, tuple(supplies), tuple(grounds), supply_drawn, ground_drawn, perhaps)


def _between_its_wires(
    sensor: Load, wired: WiredPins, supplies: dict[Terminal, None], grounds: dict[Terminal, None]
) -> None:
    """A sensor with two wires is what lies between them; that its feed is not typed in cannot be said of it."""
    named = (end for end in wired.all if not is_unnamed(end.pin))
    others = [end for end in named if not sensor.roles.get(end.pin) and end not in grounds]
    if len(others) == 2 and not grounds:
        grounds[others.pop()] = None
    if len(others) == len(grounds) == 1:
        supplies[others[0]] = None


def load_links(part: Load | Undeclared, pins: LoadPins) -> Iterator[Link]:
    """From every supply pin to every ground pin."""
    for supply in pins.supplies:
        for ground in pins.grounds:
            assumed: Assumption = ""
            if not pins.supply_drawn:
                assumed = "supply"
            elif not pins.ground_drawn:
                assumed = "case" if ground.pin == CASE_PIN else "ground"
            elif not isinstance(part, Load) or part.is_role_assumed(supply.pin) or part.is_role_assumed(ground.pin):
                assumed = "role"
            yield Link(supply, ground, "load", part.name, condition=part.condition, assumed=assumed)


def charted_pins(pins: LoadPins) -> Iterator[Link]:
    """A fuse chart names only the load: each of its rows may mean any of the supply pins that no wire names."""
    for row in pins.supplies if pins.perhaps else ():
        if is_unnamed(row.pin):
            for pin in pins.perhaps:
                yield Link(row, pin, "joint", pins.part, one_way=True, assumed="terminal")


def output_links(output: Output, part: Part | None, pins: LoadPins | None) -> Iterator[Link]:
    """From the supply pin that an output feeds from to its pin, or from its pin to the module's ground.

    An output whose source is not said feeds from any supply pin of its module.
    """
    condition = both(output.condition, part.condition if part else ())
    name = output.contact
    supplies = pins.supplies if pins else (Terminal(output.module, ANY_PIN),)
    grounds = pins.grounds if pins else (Terminal(output.module, UNDRAWN_GROUND_PIN),)
    assumed: Assumption
    if output.action == "feeds":
        if output.source:
            supplies = (Terminal(output.module, output.source),)
        assumed = "" if output.source or (pins and pins.supply_drawn) else "supply"
        ends = tuple((supply, output.terminal) for supply in supplies)
    else:
        assumed = "" if pins and pins.ground_drawn else "ground"
        ends = tuple((output.terminal, ground) for ground in grounds)
    for a, b in ends:
        yield Link(
            a, b, "output", output.module,
            contact=name, output=output, one_way=True, condition=condition, assumed=assumed,
        )  # fmt: skip


def both(one: Condition, other: Condition) -> Condition:
    """Both conditions at once."""
    return one if not other or one == other else other if not one else tuple(dict.fromkeys((*one, *other)))


def _sides(name: str, wired: WiredPins) -> Iterator[tuple[Terminal, Terminal]]:
    """Feed and outgoing side of a fuse; further outgoing sides if it has two elements (three tabs)."""
    first, second = Terminal(name, FIRST), Terminal(name, SECOND)
    others = tuple(t for t in wired.all if t.pin not in (FIRST, SECOND, ANY_PIN))
    if len(others) == 2 and first not in wired and second not in wired:
        yield others
        return
    yield first, second
    for other in others:
        yield first, other


def _switch_contacts(switch: Switch) -> Iterator[Link]:
    closed: dict[tuple[str, str], dict[str, None]] = {}
    for contact in switch.contacts:
        pair = (contact.pin_a, contact.pin_b)
        if pair[::-1] in closed:
            pair = pair[::-1]
        closed.setdefault(pair, {}).update(dict.fromkeys(contact.closed_in))
    names = _contact_names(switch.name, tuple(closed))
    for ((a, b), positions), name in zip(closed.items(), names, strict=True):
        yield Link(
            Terminal(switch.owner, a), Terminal(switch.owner, b), "contact", switch.name,
            contact=name, closed_in=tuple(positions), condition=switch.condition,
        )  # fmt: skip


def _relay(relay: Relay, wired: WiredPins) -> Iterator[Link]:
    name, condition = relay.name, relay.condition
    plus, minus = (Terminal(name, pin) for pin in relay.coil)
    if not relay.flashes:  # it works by the current of its lamps, or by next to none of its own
        yield Link(plus, minus, "coil", name, condition=condition)
    names = _contact_names(name, tuple((c.pin_a, c.pin_b) for c in relay.contacts))
    for contact, its_name in zip(relay.contacts, names, strict=True):
        yield Link(
            Terminal(name, contact.pin_a), Terminal(name, contact.pin_b), "contact", name,
            contact=its_name, energised=contact.energised, condition=condition,
        )  # fmt: skip
    charted = Terminal(name, ANY_PIN)
    if charted in wired:
        # A fuse chart names only the relay: most likely it means the feed of its contact, else that of its coil.
        commons = dict.fromkeys(Terminal(name, c.pin_a) for c in relay.contacts)
        for terminal in (*commons, plus):
            if terminal not in wired:
                yield Link(charted, terminal, "joint", name, condition=condition, assumed="terminal")
                break


def _contact_names(part: str, pairs: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """`CAB.K4.87`: the pin that a contact leads to, with both pins where that would name two."""
    short = tuple(a if b == CASE_PIN else b for a, b in pairs)
    return tuple(
        f"{part}.{pin}" if short.count(pin) == 1 else f"{part}.{a}-{b}"
        for pin, (a, b) in zip(short, pairs, strict=True)
    )


def _joint(joint: Joint, wired: WiredPins) -> Iterator[Link]:
    if joint.kind != "connector":
        yield from _joined_pins(joint, wired)
        return
    halves: dict[str, set[str]] = {}
    for terminal in wired.all:
        halves.setdefault(terminal.pin, set()).add(terminal.half)
    for pin, found in halves.items():
        if {"a", "l"} <= found:
            yield Link(
                Terminal(joint.name, pin, "a"), Terminal(joint.name, pin, "l"), "cavity", joint.name,
                condition=joint.condition,
            )  # fmt: skip


def _joined_pins(part: Part, wired: WiredPins) -> Iterator[Link]:
    """What is one piece of metal stays one, whichever pins were written on it."""
    for terminal in wired.all:
        if terminal.pin:
            yield Link(Terminal(part.name), terminal, "joint", part.name, condition=part.condition)
