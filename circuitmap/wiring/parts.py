"""What is fitted: the parts of a vehicle, as values.

Every part is told by its full name, such as `CAB.F22`. A `Terminal` is a point where a wire can end.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from circuitmap.quantities import Band
from circuitmap.source import Span

WORKS_EITHER_WAY = ("lamp", "motor", "heater", "solenoid", "horn")
"""Loads of two terminals that work whichever way the current flows: a motor that reverses, a lamp."""

UNFUSED_KINDS = ("alternator", "starter")
"""Loads that usually hang on the battery without a fuse; the current in their cable can be read with a clamp."""


class Terminal(NamedTuple):
    """A point where a wire ends: a pin, a splice, a ground point, one half of a connector's cavity.

    `pin` is empty for splices, bars, ground points, the body and open ends. Two-terminal parts that were named
    without a terminal have the pins `1` (first side: feed of a fuse, anode, plus side) and `2`.
    `half` is `a` (arriving, the half towards the supply as the sheet was read) or `l` (leaving) for a cavity, else
    empty. A pin that begins with `?` is one that nobody named: `?` alone is "some pin", the sheet, or a fuse chart,
    does not say which; `?F22` is the pin of its own that the chart's row of F22 feeds (`pin_by_chart`).
    """

    part: str
    pin: str = ""
    half: str = ""

    def __str__(self) -> str:
        return f"{self.part}.{self.pin}" if self.pin else self.part

    @property
    def as_typed(self) -> str:
        """As somebody may type it: a pin that nobody named is left out."""
        return self.part if is_unnamed(self.pin) else str(self)


class Need(NamedTuple):
    """One equipment option that must be fitted (`fitted`), or must not be, for a statement to hold."""

    option: str
    fitted: bool


Condition = tuple[Need, ...]
"""All of these must hold; empty: always."""

FIRST, SECOND, ANY_PIN = "1", "2", "?"


def pin_by_chart(feeder: str) -> str:
    """The pin of a load that a fuse chart's row feeds without naming it: told by what feeds it, so that it is the same
    pin whichever rows are typed in beside it. A point would part a plug from its pin."""
    return ANY_PIN + feeder.replace(".", "/")


def is_unnamed(pin: str) -> bool:
    """Whether nobody named this pin; it is never shown as if somebody had."""
    return pin.startswith(ANY_PIN)


BODY = "case"
"""The name that stands for the vehicle's body as a ground point."""

HandsOff = Literal["", "restraint", "high-voltage", "gas", "sealed", "maker", "not"]
"""Why nobody may touch something: restraint or pyrotechnic; high voltage; a gas system; sealed by law; the maker says
so. `not`: somebody looked and said that it is none of these. Empty: nobody said anything."""

Care = Literal[
    "own-battery", "burns-fuel", "burns-gas", "gas-alarm", "hot", "starts-itself", "holds-load", "tows", "locks-doors",
    "feeds-in", "holds-fuel",
]  # fmt: skip
"""What to take care of at a part: it has a battery of its own; burns fuel, or gas; warns of gas; gets hot; may start by
itself; holds up what falls or rolls when it lets go; a trailer hangs on it; it locks the doors; it feeds the
vehicle; fuel runs through it, or stands beside it."""

Role = Literal["supply", "ground", "wake", "sense", "network", "output", "control", "signal", ""]
WakesBy = Literal["plus", "ground", "opening"]
"""What wakes a module at a wake pin: plus comes, ground comes, or its ground goes."""


class WakesEvery(NamedTuple):
    """What wakes by its own clock, sound as it is: minutes from one waking to the next, and minutes that it is up."""

    every: Band
    lasts: Band


LOAD_KINDS = (
    "module", "lamp", "motor", "heater", "solenoid", "horn", "socket", "sensor",
    "starter", "alternator", "charger", "load",
)  # fmt: skip
"""`load` is something that takes current and is nothing else in this list; `charger` is mains or solar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Anything that has a name on a diagram. `declared` is None for something that only ever appears in a wire or list.

    `place` says where it sits, `reach` how many minutes it takes to get at it; `copied` names the sister platform from
    which it was copied without having been checked against the sheet yet. `hands_off` and `care` are what was typed
    about touching it, for itself or for its sheet; what follows from its words and its circuit is found elsewhere.
    `sheets` are the names of the sheets it was declared on (usually none or one).
    """

    name: str
    kind: str
    description: str = ""
    place: str = ""
    part_number: str = ""
    reach: Band | None = None
    condition: Condition = ()
    copied: str = ""
    hands_off: HandsOff = ""
    care: tuple[Care, ...] = ()
    sheets: tuple[str, ...] = ()
    declared: Span | None = field(default=None, compare=False)
    first_use: Span | None = field(default=None, compare=False)

    @property
    def span(self) -> Span:
        """Where to send the reader: the declaration, or else the first use."""
        span = self.declared or self.first_use
        assert span is not None
        return span


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery(Part):
    """A battery, or two in series as one with a tap (`series`: pins `+`, `-`, `mid`).

    `capacity` in ampere-hours at 20 h; `volts` is the nominal voltage of the whole, None: the platform's.
    """

    capacity: float | None = None
    volts: float | None = None
    series: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Box(Part):
    """A fuse and relay box; what sits in it is named `BOX.something`.

    `rows` are full names as they lie in the vehicle, the uppermost row first; empty: in the order in which they were
    written down. `up` is what its upper edge points to.
    """

    rows: tuple[tuple[str, ...], ...] = ()
    up: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse(Part):
    """A fuse, fusible link or circuit breaker (`kind`): pin 1 is its feed, pin 2 its outgoing side.

    `rating` in amperes. `style` is one of `FUSE_STYLES` or empty. `slot` is its place in the order in which the
    fuses of one box were written down, from 0. `empty`: the slot has no fuse in it; `else_empty`: not without the
    equipment that it needs.
    """

    rating: float | None = None
    style: str = ""
    slot: int = 0
    empty: bool = False
    else_empty: bool = False


FUSE_STYLES = (
    "mini",
    "regular",
    "maxi",
    "low",
    "two-tab",
    "three-tab",
    "cartridge",
    "bolted",
    "glass",
    "torpedo",
)
"""Blade fuses to ISO 8820-3 are `mini` (type F), `regular` (type C), `maxi` (type E); `low` is a low-profile mini;
`two-tab` and `three-tab` the sub-miniatures of ISO 8820-12 and -13; the others are what the trade calls them."""


# A kind of part that adds no field inherits all its methods from Part: a decorator would generate the same ones again
# at every start.
class Diode(Part):
    """Conducts from pin 1 (anode) to pin 2 (cathode) only."""

    __slots__ = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor(Part):
    ohms: float | None = None


class Contact(NamedTuple):
    """A path inside a switch, closed in some of its positions. A pin `case` is the body."""

    pin_a: str
    pin_b: str
    closed_in: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch(Part):
    """A switch; the first position is that of the car parked, shut and locked.

    `is_key`: the one ignition switch; `by` is the module that reads a push button in its place (then often without
    contacts of its own: that module's outputs say `in run`). `inside` is the part whose terminals it closes: a lamp
    with a switch of its own, one of the groups of a stalk. `coils` are those that set and reset a latching relay, which
    is a switch that stays as it was left: (plus, minus) pins.
    """

    positions: tuple[str, ...] = ()
    contacts: tuple[Contact, ...] = ()
    is_key: bool = False
    by: str = ""
    inside: str = ""
    coils: tuple[tuple[str, str], ...] = ()

    @property
    def owner(self) -> str:
        """The part that its terminals belong to."""
        return self.inside or self.name


class RelayContact(NamedTuple):
    """A path inside a relay, closed while it is pulled in (`energised`) or while it is at rest."""

    pin_a: str
    pin_b: str
    energised: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay(Part):
    """A relay. Unless given, pins are those of DIN 72552: coil 86 (plus) and 85 (minus), 30 common,
    87 make, 87a break. A flasher (`flashes`) closes and opens as long as what hangs on it is switched on: 49 in, 49a
    out, 31 ground; it is taken to be closed.

    `holds` minutes that it stays pulled in when its coil is off. `across` is what lies across the coil inside: a
    `diode`, whose cathode is at the coil's plus, or a `resistor` of `ohms`. `takes` is what its coil takes, in amperes.
    """

    coil: tuple[str, str] = ("86", "85")
    contacts: tuple[RelayContact, ...] = ()
    flashes: bool = False
    holds: Band | None = None
    across: Literal["", "diode", "resistor"] = ""
    ohms: float | None = None
    takes: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load(Part):
    """Something that takes current: a control module, lamp, motor, ...

    `roles` maps pins to what they do; `assumed_roles` are those that follow only from the reading direction of a wire.
    `wakes_by` are the wake pins of which the sheet says what wakes.
    Only supply pins take supply current. A two-terminal load named without terminals has supply pin 1, ground
    pin 2. Currents in amperes: `asleep`, `awake` (a module whose network or wake line is up), `running` (switched
    on); `asleep_at`, `awake_at` and `running_at` are those of single supply pins, where they were said. `joined` are
    pairs of pins that are one piece of metal inside. `needs` are supply pins without any of which it is dead. `lasts`:
    minutes that a wake pin keeps it awake at most, endless where it was said that there is no limit. `law`: how its
    current follows the volts (`regulated`: same power; `led`: with resistors; empty: as its kind). `run_on`: minutes
    that it stays up after locking; `wakes`: it wakes by its own clock. `plugs`: prefixes of its pins (`A` of `A.12`).
    """

    roles: Mapping[str, Role] = field(default_factory=dict)
    assumed_roles: frozenset[str] = frozenset()
    wakes_by: Mapping[str, WakesBy] = field(default_factory=dict)
    asleep: Band | None = None
    awake: Band | None = None
    running: Band | None = None
    law: Literal["", "regulated", "led"] = ""
    run_on: Band | None = None
    wakes: WakesEvery | None = None
    asleep_at: Mapping[str, Band] = field(default_factory=dict)
    awake_at: Mapping[str, Band] = field(default_factory=dict)
    running_at: Mapping[str, Band] = field(default_factory=dict)
    joined: tuple[tuple[str, str], ...] = ()
    needs: tuple[str, ...] = ()
    lasts: Mapping[str, Band] = field(default_factory=dict)

    def pins_with(self, role: Role) -> tuple[str, ...]:
        return tuple(pin for pin, its in self.roles.items() if its == role)

    def is_role_assumed(self, pin: str) -> bool:
        """Whether what this pin does follows only from the reading direction: of a pin that nobody named, the chart
        says that it is fed, and of a load that works either way nothing needs to be assumed."""
        return pin in self.assumed_roles and not is_unnamed(pin) and not self.works_either_way

    @property
    def works_either_way(self) -> bool:
        """A load with two ends that works with either as the feed: what its pins do needs no assumption."""
        return self.kind in WORKS_EITHER_WAY and sorted(self.roles.values()) == ["ground", "supply"]

    @property
    def plugs(self) -> tuple[str, ...]:
        return tuple(sorted({pin.rpartition(".")[0] for pin in self.roles if "." in pin}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint(Part):
    """Something that only joins wires; `kind` is `splice`, `bar`, `connector` or `terminal` (a ring terminal or
    stud). `cavities` is how many a connector has, where that was said; they are numbered from 1."""

    cavities: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground(Part):
    """A ground point. `wired`: it is *not* joined to the body; its wire is its only way to the battery.

    The name `case` is the body itself.
    """

    wired: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenEnd(Part):
    """Where a sheet goes on and nobody has typed it yet. Its name starts with `?`.

    `from_supply`: current comes from there (an unknown supply); otherwise it is an unknown load, never a supply.
    `description` is what the sheet says ("goes on to sheet 41-01").
    """

    from_supply: bool = False


class Undeclared(Part):
    """A name that was used but never declared. It is kept, so that nothing typed is lost; nothing is known of it.

    It is treated as a load whose kind is not known.
    """

    __slots__ = ()
