"""What the text says: one value for every kind of statement, each word with its place.

The classes are named after what a person types. `span` covers the whole statement, without what follows it on the line.
Nothing is looked up here: a name is a name, whether it is declared or not.
"""

from typing import NamedTuple

from circuitmap.quantities import Band
from circuitmap.source import Span


class Word(NamedTuple):
    """A name, pin, keyword or quoted text, without its quotes, and where it stands."""

    text: str
    span: Span


class Measure(NamedTuple):
    """A quantity in the unit used inside, as it was written, and where it stands."""

    band: Band
    written: str
    span: Span


class Condition(NamedTuple):
    """`if TOW` or `if not TOW`."""

    option: Word
    fitted: bool


class Clauses(NamedTuple):
    """What may follow any statement, in any order. `hands_off` is the reason why nobody may touch it, or `not` where
    somebody said that it is not hands-off; `care` are the words that say what to take care of."""

    description: Word | None = None
    place: Word | None = None
    part_number: Word | None = None
    reach: Measure | None = None
    conditions: tuple[Condition, ...] = ()
    copied: Word | None = None
    hands_off: Word | None = None
    care: tuple[Word, ...] = ()


NO_CLAUSES = Clauses()


class PlatformStatement(NamedTuple):
    span: Span
    name: Word
    years: Word | None = None
    supply: Measure | None = None
    returns: Word | None = None
    sleep: Measure | None = None
    limit: Measure | None = None
    clauses: Clauses = NO_CLAUSES


class OptionStatement(NamedTuple):
    """`option HF "fuel heater" or HW`: `others` are those of which a vehicle has exactly one with this."""

    span: Span
    name: Word
    others: tuple[Word, ...] = ()
    clauses: Clauses = NO_CLAUSES


class NamingStatement(NamedTuple):
    """`naming SP* splice`: names that start like this need no declaration."""

    span: Span
    patterns: tuple[tuple[Word, Word], ...]
    clauses: Clauses = NO_CLAUSES


class ColoursStatement(NamedTuple):
    """`colours sw BK, rt RD`: the maker's letters and the IEC 60757 code each stands for."""

    span: Span
    letters: tuple[tuple[Word, Word], ...]
    clauses: Clauses = NO_CLAUSES


class BatteryStatement(NamedTuple):
    span: Span
    name: Word
    capacity: Measure | None = None
    volts: Measure | None = None
    series: bool = False
    clauses: Clauses = NO_CLAUSES


class BoxStatement(NamedTuple):
    """`rows` is how it lies in the vehicle, the row that is uppermost first; `up` what its upper edge points to."""

    span: Span
    name: Word
    rows: tuple[tuple[Word, ...], ...] = ()
    up: Word | None = None
    clauses: Clauses = NO_CLAUSES


class ClosesClause(NamedTuple):
    pin_a: Word
    pin_b: Word
    positions: tuple[Word, ...]


class SwitchStatement(NamedTuple):
    """`switch` or, when `is_key`, `key`; `inside` is the part whose terminals it closes."""

    span: Span
    name: Word
    is_key: bool
    by: Word | None
    positions: tuple[Word, ...]
    closes: tuple[ClosesClause, ...]
    inside: Word | None = None
    clauses: Clauses = NO_CLAUSES


class RelayStatement(NamedTuple):
    """`form` is make, break, changeover, latching or flasher; `contacts` are (common, other, other at rest) pins when
    given. `reset` is the second coil of a latching one, `holds` how long it stays in when its coil is off; `across` the
    coil is a diode or resistor, of `ohms`. `takes` is what the coil takes."""

    span: Span
    name: Word
    form: Word
    coil: tuple[Word, Word] | None = None
    contacts: tuple[tuple[Word, Word, Word | None], ...] = ()
    reset: tuple[Word, Word] | None = None
    holds: Measure | None = None
    across: Word | None = None
    ohms: Measure | None = None
    takes: Measure | None = None
    clauses: Clauses = NO_CLAUSES


class FuseItem(NamedTuple):
    name: Word
    rating: Measure | None
    style: Word | None
    empty: bool
    description: Word | None


class FuseStatement(NamedTuple):
    """`kind` is the word that began it: fuse, link or breaker."""

    span: Span
    kind: Word
    fuses: tuple[FuseItem, ...]
    clauses: Clauses = NO_CLAUSES


class TwoTerminalItem(NamedTuple):
    name: Word
    ohms: Measure | None
    description: Word | None


class TwoTerminalStatement(NamedTuple):
    """`kind` is diode or resistor."""

    span: Span
    kind: Word
    items: tuple[TwoTerminalItem, ...]
    clauses: Clauses = NO_CLAUSES


class JointItem(NamedTuple):
    name: Word
    description: Word | None


class JointStatement(NamedTuple):
    """`kind` is splice, connector, terminal or ground; `wired` only on a ground, `cavities` only of a connector."""

    span: Span
    kind: Word
    items: tuple[JointItem, ...]
    wired: bool = False
    cavities: Word | None = None
    clauses: Clauses = NO_CLAUSES


class FeedsStatement(NamedTuple):
    """`bar CAB.B1 feeds ...` (`is_bar`), or `CAB.F50 feeds ...` of a fuse chart."""

    span: Span
    name: Word
    is_bar: bool
    fed: tuple[Word, ...]
    clauses: Clauses = NO_CLAUSES


class StatedStatement(NamedTuple):
    """`stated CAB.F44 always`, `stated CAB.F45 in run, start`: positions are empty for always."""

    span: Span
    names: tuple[Word, ...]
    positions: tuple[Word, ...]
    clauses: Clauses = NO_CLAUSES


class Lasting(NamedTuple):
    """`for 10min`, or `for ever`: then without a `time`."""

    span: Span
    time: Measure | None


class RoleSaid(NamedTuple):
    """`wake B9, B10 by ground for 10min`; `by` and `lasts` for wake pins only."""

    role: Word
    pins: tuple[Word, ...]
    by: Word | None = None
    lasts: Lasting | None = None


class WakesSaid(NamedTuple):
    """`wakes every 60min for 90s`: what wakes by its own clock, sound as it is."""

    every: Measure
    lasts: Measure


class DrawnAt(NamedTuple):
    """`60W on 56a`: amperes or watts, of one supply pin where that is said."""

    amount: Measure
    pin: Word | None = None


class LoadStatement(NamedTuple):
    """A module, lamp, motor, ...: `kind` is the word that began it; `needs` are the supply pins without any of which it
    is dead; `joined` are pairs of pins that are one piece of metal inside; `law` is how its current follows the volts,
    `regulated` or `led`."""

    span: Span
    kind: Word
    name: Word
    roles: tuple[RoleSaid, ...] = ()
    needs: tuple[Word, ...] = ()
    asleep: tuple[DrawnAt, ...] = ()
    awake: tuple[DrawnAt, ...] = ()
    running: tuple[DrawnAt, ...] = ()
    law: Word | None = None
    run_on: Measure | None = None
    wakes: WakesSaid | None = None
    joined: tuple[tuple[Word, Word], ...] = ()
    clauses: Clauses = NO_CLAUSES


class OutputStatement(NamedTuple):
    """`output BCM.C3 grounds while awake`; `when` is awake, in, request (nothing said), always, or
    live: while its inputs `inputs` have what works them, and its inputs `without` have not. `volts` is a
    voltage that the module makes itself."""

    span: Span
    pins: tuple[Word, ...]
    action: Word
    source: Word | None = None
    when: str = "request"
    positions: tuple[Word, ...] = ()
    inputs: tuple[Word, ...] = ()
    without: tuple[Word, ...] = ()
    volts: Measure | None = None
    lasts: Lasting | None = None
    clauses: Clauses = NO_CLAUSES


class MemberItem(NamedTuple):
    """A member of a network; `waking` is `listens` (it keeps nobody awake) or `drives` (nobody wakes it)."""

    name: Word
    pins: tuple[Word, ...]
    waking: Word | None = None


class NetworkStatement(NamedTuple):
    span: Span
    name: Word
    kind: Word
    members: tuple[MemberItem, ...]
    run_on: Measure | None = None
    wakes: WakesSaid | None = None
    clauses: Clauses = NO_CLAUSES


class StarStatement(NamedTuple):
    span: Span
    name: Word
    network: Word
    legs: tuple[tuple[Word, ...], ...]
    clauses: Clauses = NO_CLAUSES


class GatewayStatement(NamedTuple):
    """`passes` are (from, to) pairs; empty and not `passes_nothing`: the sheet does not say."""

    span: Span
    name: Word
    joins: tuple[Word, ...]
    passes: tuple[tuple[Word, Word], ...] = ()
    passes_nothing: bool = False
    clauses: Clauses = NO_CLAUSES


class SheetStatement(NamedTuple):
    """Positional: what follows in the file, up to the next such line, is on this sheet."""

    span: Span
    name: Word
    title: Word | None = None
    whole: bool = False
    clauses: Clauses = NO_CLAUSES


class WireLook(NamedTuple):
    """Colour, size, name, circuit code and length of a wire, all optional."""

    colour: Word | None = None
    size: Measure | None = None
    name: Word | None = None
    code: Word | None = None
    length: Measure | None = None


NO_LOOK = WireLook()


class End(NamedTuple):
    """A point of a chain: a name, or `?` with what the sheet says of it."""

    name: Word
    remark: Word | None = None

    @property
    def is_open(self) -> bool:
        return self.name.text == "?"


class ChainStep(NamedTuple):
    """Where an arrow leads (several ends only at the last step), and what the wires that arrive there look like: as
    written after them, or else as last written on the line."""

    ends: tuple[End, ...]
    look: WireLook = NO_LOOK


class WireStatement(NamedTuple):
    """`CAB.F22 -> X14.14 in OG/BK 0.75 -> SP5 -> HEATER.A1, DOORLOCK.7 in RD 0.5`."""

    span: Span
    first: tuple[End, ...]
    steps: tuple[ChainStep, ...]
    clauses: Clauses = NO_CLAUSES


Statement = (
    PlatformStatement
    | OptionStatement
    | NamingStatement
    | ColoursStatement
    | BatteryStatement
    | BoxStatement
    | SwitchStatement
    | RelayStatement
    | FuseStatement
    | TwoTerminalStatement
    | JointStatement
    | FeedsStatement
    | StatedStatement
    | LoadStatement
    | OutputStatement
    | NetworkStatement
    | StarStatement
    | GatewayStatement
    | SheetStatement
    | WireStatement
)


class Notation(NamedTuple):
    """All that was read of one file: statements in order.

    `unread`: the words of statements that could not be read and may be names. What these statements say is not known,
    so nothing should be concluded from what seems to be missing there.
    """

    path: str
    statements: tuple[Statement, ...]
    unread: tuple[Word, ...] = ()
