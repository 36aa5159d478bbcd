"""A platform: everything that was transcribed of one vehicle, checked and immutable."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Literal

from circuitmap.derived import Derives
from circuitmap.problems import Problem, in_order
from circuitmap.quantities import Band
from circuitmap.source import SourceFile, Span
from circuitmap.wiring.known_names import KnownNames
from circuitmap.wiring.nets import JoinedNets
from circuitmap.wiring.parts import Box, Condition, Fuse, HandsOff, Load, Part, Terminal, WakesEvery

WireKind = Literal["wire", "copper", "chart"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A conductor between two terminals, the same whichever way it is read.

    `kind`: a `wire`; `copper` inside a box (no colour, no size); or `chart`: a fuse chart says what hangs on the fuse,
    the wires in between are not typed in. `a` is the end nearer the supply as the sheet was read. `colour` is a tuple
    of IEC 60757 codes, base first, then tracers. `size` in square millimetres; `size_written` as typed. `name` tells
    parallel wires apart; `code` is the circuit code printed on the wire; `length` in metres, where somebody
    typed it. `sheets` are all the sheets it is drawn on; `spans` where it was typed.
    """

    a: Terminal
    b: Terminal
    kind: WireKind = "wire"
    colour: tuple[str, ...] = ()
    size: float | None = None
    size_written: str = ""
    name: str = ""
    code: str = ""
    length: Band | None = None
    condition: Condition = ()
    copied: str = ""
    hands_off: HandsOff = ""
    sheets: tuple[str, ...] = ()
    spans: tuple[Span, ...] = field(default=(), compare=False)

    @property
    def ends(self) -> frozenset[Terminal]:
        return frozenset((self.a, self.b))

    @property
    def colour_written(self) -> str:
        return "/".join(self.colour)


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """A solid-state output of a module: while it is on, `pin` is fed from `source` or joined to ground.

    `when`: `awake` (as long as the module is), `in` (key positions `positions`), `request` (nobody knows when: never
    assumed on, may be live), `always`, `live` (while each of its input pins `inputs` has what works it, and none of
    `without`). `source` is the supply pin it feeds from, empty: any of the module's. `both_ways`: another output of the
    same pin does the opposite (half of an H-bridge). `assumed`: nobody declared it; it follows from a wire that leaves
    the module for something other than a ground. `volts`: the module makes this voltage itself, as a converter does:
    what it feeds so returns to the module, not to a battery. `lasts`: minutes that it stays on at most, endless where
    there is no limit.
    """

    module: str
    pin: str
    action: Literal["feeds", "grounds"]
    when: Literal["awake", "in", "request", "always", "live"] = "request"
    positions: tuple[str, ...] = ()
    inputs: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    source: str = ""
    both_ways: bool = False
    volts: float = 0.0
    lasts: Band | None = None
    assumed: bool = False
    description: str = field(default="", compare=False)
    condition: Condition = ()
    hands_off: HandsOff = ""
    span: Span = field(compare=False)

    @property
    def terminal(self) -> Terminal:
        return Terminal(self.module, self.pin)

    @property
    def contact(self) -> str:
        """The name by which it is switched: `BCM.C3`, or `BCM.G1+` and `BCM.G1-` where one pin feeds and grounds."""
        return f"{self.module}.{self.pin}{('+' if self.action == 'feeds' else '-') if self.both_ways else ''}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """`waking`: it `listens` (the network wakes it, and it keeps nobody awake) or `drives` (it keeps the network awake
    and is not woken by it); empty: both, or not said."""

    part: str
    pins: tuple[str, ...] = ()
    waking: Literal["", "listens", "drives"] = ""
    condition: Condition = ()
    span: Span = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """A data network, or a wake line (`kind` `wake`): any member that is awake keeps all of them awake, unless it was
    said that it only listens or drives. `run_on`: minutes that it stays awake when nobody keeps it awake any more;
    `wakes`: it is woken by the clock, sound as it is."""

    name: str
    kind: Literal["can", "lin", "wake", "other"]
    description: str = ""
    members: tuple[Member, ...] = ()
    condition: Condition = ()
    sheets: tuple[str, ...] = ()
    copied: str = ""
    hands_off: HandsOff = ""
    run_on: Band | None = None
    wakes: WakesEvery | None = None
    declared: Span | None = field(default=None, compare=False)

    @property
    def member_names(self) -> tuple[str, ...]:
        return tuple(m.part for m in self.members)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gateway:
    """A module that joins networks. `passes`: (from, to) pairs in which waking crosses; None: the sheet does not
    say, every direction may."""

    module: str
    joins: tuple[str, ...]
    passes: tuple[tuple[str, str], ...] | None = None
    condition: Condition = ()
    span: Span = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Star:
    """A star connector of a network: opening it, or one of its legs, takes the members on it off the network."""

    name: str
    network: str
    legs: tuple[tuple[str, ...], ...]
    place: str = ""
    reach: Band | None = None
    condition: Condition = ()
    hands_off: HandsOff = ""
    span: Span = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """A feed as the sheet labels it: "hot at all times" (`always`), or hot in certain key positions."""

    part: str
    pin: str
    always: bool
    positions: tuple[str, ...] = ()
    condition: Condition = ()
    span: Span = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet of the diagram. `whole`: everything on it has been typed in and could be read; `unread`: something on
    it could not be read."""

    name: str
    title: str = ""
    whole: bool = False
    unread: bool = False
    condition: Condition = ()
    copied: str = ""
    hands_off: HandsOff = ""
    span: Span = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentOption:
    """Equipment that not every vehicle of the platform has. `others`: a vehicle has exactly one of these and this."""

    name: str
    description: str = ""
    others: tuple[str, ...] = ()
    span: Span = field(compare=False)


@dataclass(frozen=True, kw_only=True)
class Platform(Derives):
    """What was transcribed. Immutable; `problems` are all those found on the way from text to here.

    `supply_volts` nominal; `body_return`: grounds are joined through the body to every battery minus; `sleep` is how
    long the vehicle takes to fall asleep, in minutes; `limit` the parked current it is held to, in amperes. `doubted`
    are names in which a slip was reported, or that the slip may have meant: a check says nothing about what looks
    missing there, so that one slip gives one message. `used_options` are those that something depends on.
    """

    name: str = ""
    years: str = ""
    supply_volts: float = 12.0
    body_return: bool = True
    sleep: Band | None = None
    limit: float | None = None
    options: Mapping[str, EquipmentOption] = field(default_factory=dict)
    parts: Mapping[str, Part] = field(default_factory=dict)
    wires: tuple[Wire, ...] = ()
    outputs: tuple[Output, ...] = ()
    networks: Mapping[str, Network] = field(default_factory=dict)
    gateways: tuple[Gateway, ...] = ()
    stars: Mapping[str, Star] = field(default_factory=dict)
    stated: tuple[Stated, ...] = ()
    sheets: Mapping[str, Sheet] = field(default_factory=dict)
    sources: tuple[SourceFile, ...] = field(default=(), compare=False)
    doubted: frozenset[str] = field(default=frozenset(), compare=False)
    used_options: frozenset[str] = field(default=frozenset(), compare=False)
    problems: tuple[Problem, ...] = field(default=(), compare=False)
    declared: Span | None = field(default=None, compare=False)

    def with_problems(self, problems: Iterable[Problem], doubted: Iterable[str] = ()) -> "Platform":
        """The same platform with these problems and with more names in doubt; what was worked out about its wires is
        kept."""
        doubted = self.doubted.union(doubted)
        same = replace(self, problems=in_order(list(problems)), doubted=doubted)
        return same.knowing(**{name: value for name, value in vars(self).items() if name in _FOUND})

    def knowing(self, **found: Any) -> "Platform":
        """Keeps what has already been worked out, so that it is not worked out again."""
        assert found.keys() <= _FOUND
        vars(self).update(found)
        return self

    @cached_property
    def fuses(self) -> tuple[Fuse, ...]:
        """The fuses box by box, in the order of each box."""
        fuses = [p for p in self.parts.values() if isinstance(p, Fuse)]
        return tuple(sorted(fuses, key=lambda fuse: (fuse.name.rpartition(".")[0], fuse.slot, fuse.name)))

    @cached_property
    def loads(self) -> tuple[Load, ...]:
        return tuple(p for p in self.parts.values() if isinstance(p, Load))

    @cached_property
    def wires_at(self) -> Mapping[str, tuple[Wire, ...]]:
        """Wires by the name of the part they end at."""
        found: dict[str, list[Wire]] = {}
        for wire in self.wires:
            for part in {wire.a.part, wire.b.part}:
                found.setdefault(part, []).append(wire)
        return {part: tuple(wires) for part, wires in found.items()}

    @cached_property
    def nets(self) -> JoinedNets:
        """What drawn wires, copper, splices and cavities alone join; rows of a fuse chart join nothing."""
        return JoinedNets((wire.a, wire.b) for wire in self.wires if wire.kind != "chart")

    @cached_property
    def networks_of(self) -> Mapping[str, tuple[str, ...]]:
        """Names of the networks each part is a member of; a gateway is on all networks that it joins."""
        found: dict[str, dict[str, None]] = {}
        for network in self.networks.values():
            for name in network.member_names:
                found.setdefault(name, {})[network.name] = None
        for gateway in self.gateways:
            for name in gateway.joins:
                found.setdefault(gateway.module, {})[name] = None
        return {part: tuple(networks) for part, networks in found.items()}

    @cached_property
    def gateways_on(self) -> Mapping[str, tuple[tuple[Gateway, tuple[str, ...] | None], ...]]:
        """The gateways that join each network, each with the networks to which it passes on waking from there; None
        where the sheet does not say."""
        found: dict[str, list[tuple[Gateway, tuple[str, ...] | None]]] = {}
        for gateway in self.gateways:
            passes: dict[str, dict[str, None]] = {}
            for start, end in gateway.passes or ():
                passes.setdefault(start, {})[end] = None
            order = {name: number for number, name in enumerate(gateway.joins)}
            for name in order:
                to = None
                if gateway.passes is not None:
                    to = tuple(sorted(passes.get(name, {}).keys() & order.keys(), key=order.__getitem__))
                found.setdefault(name, []).append((gateway, to))
        return {network: tuple(gateways) for network, gateways in found.items()}

    @cached_property
    def part_names(self) -> KnownNames:
        """The names of all parts, by their tails."""
        return KnownNames(self.parts)

    @cached_property
    def network_names(self) -> KnownNames:
        return KnownNames(self.networks)

    def box_of(self, part: str) -> Box | None:
        """The box that a part sits in, told by the part's name."""
        box = self.parts.get(part.rpartition(".")[0])
        return box if isinstance(box, Box) else None


_FOUND = {"fuses", "loads", "wires_at", "nets", "networks_of"}
"""Works out what follows from parts, wires and networks alone."""
