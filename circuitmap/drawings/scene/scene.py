"""What is to be drawn, as values, before anything has a place.

A scene says which parts, wires, rails and networks a picture holds and how each is marked. It does not know the
circuit it was chosen from, and nothing in it is a coordinate. Keys tell entries apart and are never shown.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from circuitmap.unknown import Unknown


class Kind(StrEnum):
    """What a part is drawn as."""

    FUSE = "fuse"
    LINK = "link"
    BREAKER = "breaker"
    RELAY = "relay"
    SWITCH = "switch"
    KEY = "key"
    MODULE = "module"
    LAMP = "lamp"
    MOTOR = "motor"
    HEATER = "heater"
    SOLENOID = "solenoid"
    HORN = "horn"
    SOCKET = "socket"
    SENSOR = "sensor"
    STARTER = "starter"
    ALTERNATOR = "alternator"
    RECTIFIER = "rectifier"
    CHARGER = "charger"
    CONVERTER = "converter"
    LOAD = "load"
    DIODE = "diode"
    RESISTOR = "resistor"
    BATTERY = "battery"
    SPLICE = "splice"
    TERMINAL = "terminal"
    CAVITY = "cavity"
    BAR = "bar"
    GROUND = "ground"
    OPEN_END = "open end"
    MORE = "more"
    TO_SHEET = "to sheet"
    FROM_SHEET = "from sheet"


LOADS = frozenset(
    {
        Kind.MODULE,
        Kind.LAMP,
        Kind.MOTOR,
        Kind.HEATER,
        Kind.SOLENOID,
        Kind.HORN,
        Kind.SOCKET,
        Kind.SENSOR,
        Kind.STARTER,
        Kind.ALTERNATOR,
        Kind.RECTIFIER,
        Kind.CHARGER,
        Kind.CONVERTER,
        Kind.LOAD,
    }
)
"""Kinds that stand at the common level of the loads."""


class Mark(StrEnum):
    """What is known of a fuse or part, or why it is highlighted; the value is the word beside it."""

    NONE = ""
    DRAWING = "draws"
    QUIET = "quiet"
    UNREAD = "not read"
    SUSPECT = "suspect"
    FAULTY = "found faulty"


class Nature(StrEnum):
    """What a line stands for."""

    WIRE = "wire"
    COPPER = "copper"
    """A bar or path inside a fuse box: no wire, no colour."""
    CHART = "chart"
    """Known only from a fuse chart; the wires are not typed in."""
    LEAD = "lead"
    """No wire: a housing that is bolted to the body, the line to a mark of something left out."""


class DrawnFeed(StrEnum):
    CONSTANT = "constant"
    SWITCHED = "switched"
    UNKNOWN = "unknown"


class DrawnContact(NamedTuple):
    """A contact between two pins of a switch or relay. `words` says when it closes, `in run, start`."""

    common: str
    other: str
    closed_at_rest: bool = False
    words: str = ""


class CoilLook(StrEnum):
    """What is special about a coil, as its symbol shows it."""

    PLAIN = ""
    SET = "set"
    RESET = "reset"
    FLASHES = "flashes"
    HOLDS = "holds"


class DrawnCoil(NamedTuple):
    plus: str
    minus: str
    look: CoilLook = CoilLook.PLAIN


class DrawnWithin(NamedTuple):
    """Something else between two pins inside of a part with contacts: its lamp or motor, what lies across its coil.

    Of a diode the first pin is the anode."""

    first: str
    second: str
    kind: Kind


@dataclass(frozen=True, slots=True)
class DrawnPart:
    """One node of the drawing. `pins` are its terminal numbers in the order of the sheet; small parts have none, but a
    cavity has its two halves, which are never shown.

    A pin whose name begins with `~` has no number on the sheet and is drawn without one.
    """

    key: str
    kind: Kind
    name: str
    pins: tuple[str, ...] = ()
    description: str = ""
    rating: str = ""
    place: str = ""
    contacts: tuple[DrawnContact, ...] = ()
    coils: tuple[DrawnCoil, ...] = ()
    within: tuple[DrawnWithin, ...] = ()
    joined: tuple[tuple[str, str], ...] = ()
    """Pins that are one piece of metal inside."""
    mark: Mark = Mark.NONE
    named: bool = False
    """The reader asked for this part."""
    note: str = ""
    """One more line below the name, such as `only if TOW is fitted`."""


class DrawnEnd(NamedTuple):
    """Where a wire ends: a part and its pin, or a rail."""

    owner: str
    pin: str = ""


@dataclass(frozen=True, slots=True)
class DrawnWire:
    """A wire, written from supply to ground. `colour` and `tracer` are IEC 60757 codes (several tracers as `WH/GN`);
    `size` is as shown."""

    key: str
    start: DrawnEnd
    finish: DrawnEnd
    colour: str = ""
    tracer: str = ""
    size: str = ""
    code: str = ""
    sheets: tuple[str, ...] = ()
    nature: Nature = Nature.WIRE
    assumed: bool = False
    mark: Mark = Mark.NONE
    named: bool = False
    note: str = ""
    """An additional word in its tag, such as `if TOW`."""
    drop: str = ""
    """The volts that are lost on it, as shown."""


@dataclass(frozen=True, slots=True)
class Rail:
    """A supply that many circuits start from: `30 constant`, `15 run, start`. Drawn across the top."""

    key: str
    terminal: str
    words: str
    feed: DrawnFeed = DrawnFeed.CONSTANT


class Probed(StrEnum):
    """How a reading stands to what was to be expected; the value is the word beside it."""

    SOUND = ""
    LOW = "low"
    HIGH = "high"


class DrawnVolts(NamedTuple):
    """The volts at one end of a wire: `expected` in words, and what was `read` there, empty: nothing yet."""

    key: str
    wire: str
    at_start: bool
    expected: str
    read: str = ""
    stands: Probed = Probed.SOUND


class Tap(NamedTuple):
    """A member's pin on a network, or on a star connector of it when `star` is given."""

    part: str
    pin: str
    star: str = ""


@dataclass(frozen=True, slots=True)
class DrawnNetwork:
    """A data network, drawn as a rail with a tap for every member shown."""

    key: str
    name: str
    words: str
    taps: tuple[Tap, ...]
    mark: Mark = Mark.NONE


class DrawnSheet(NamedTuple):
    """A sheet of the paper diagram that something in the scene comes from."""

    name: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything a picture holds. `unknown` is what it does not know or had no room for; `notes` say the same in whole
    sentences, shown below the drawing."""

    title: str
    parts: tuple[DrawnPart, ...]
    wires: tuple[DrawnWire, ...]
    subtitle: str = ""
    rails: tuple[Rail, ...] = ()
    networks: tuple[DrawnNetwork, ...] = ()
    sheets: tuple[DrawnSheet, ...] = ()
    notes: tuple[str, ...] = ()
    volts: tuple[DrawnVolts, ...] = ()
    remarks: tuple[str, ...] = ()
    """What is to be said of the volts: where the black lead is, what to take care of, what was lost."""
    number: int = 1
    of: int = 1
    """`number` of `of` when the drawing runs over several pages of print."""
    paper: str = "A4"
    """What it is printed on."""
    sheet: str = ""
    """The sheet of the paper diagram that it is, where it shows one as it was typed."""
    unknown: tuple[Unknown, ...] = ()


def all_of(scenes: Iterable[Scene]) -> Scene:
    """Everything that occurs in these scenes, for one legend to all of them."""
    parts: list[DrawnPart] = []
    wires: list[DrawnWire] = []
    networks: list[DrawnNetwork] = []
    sheets: dict[str, DrawnSheet] = {}
    for scene in scenes:
        parts += scene.parts
        wires += scene.wires
        networks += scene.networks
        sheets.update((sheet.name, sheet) for sheet in scene.sheets)
    return Scene("Lines and marks", tuple(parts), tuple(wires), networks=tuple(networks), sheets=tuple(sheets.values()))


def slips_in(scene: Scene) -> list[str]:
    """What makes a scene impossible to draw: a key used twice, an end that does not exist. Empty for a sound scene."""
    keys = [part.key for part in scene.parts] + [wire.key for wire in scene.wires]
    keys += [rail.key for rail in scene.rails] + [network.key for network in scene.networks]
    slips = [f"the key {key} is used {count} times" for key, count in Counter(keys).items() if count > 1]
    pins = {part.key: set(part.pins) for part in scene.parts}
    rails = {rail.key for rail in scene.rails}
    for wire in scene.wires:
        for end in (wire.start, wire.finish):
            if end.owner not in rails and (end.owner not in pins or end.pin not in pins[end.owner] | {""}):
                slips.append(f"wire {wire.key} ends at {end.owner} {end.pin}, which is not in the drawing")
    for network in scene.networks:
        for tap in network.taps:
            if tap.part not in pins or tap.pin not in pins[tap.part]:
                slips.append(f"network {network.key} taps {tap.part} {tap.pin}, which is not in the drawing")
    return slips
