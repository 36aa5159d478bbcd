"""Everything that is known of one car, in the order in which it was written down."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple, TypeVar

from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.car import AddedPart
from circuitmap.evidence.checks_at_parts import InputSeen, InputsTested, PinVolts, RelayVolts, SwitchTested
from circuitmap.evidence.codes import Code
from circuitmap.evidence.found_there import FoundThere
from circuitmap.evidence.in_slot import FuseInSlot
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.scans import ScanReply
from circuitmap.evidence.tries import Try
from circuitmap.source import Span

_Told = TypeVar(
    "_Told", Reading, Try, NetworkLine, ScanReply, Code, RelayVolts, InputSeen, PinVolts, InputsTested, SwitchTested,
    FoundThere,
)  # fmt: skip


class MendedThing(NamedTuple):
    """`parts` that were out together when the draw went, and then were mended `themselves`, or something that `hangs`
    on them; or `something` was, and nobody wrote what. `named`: the cause names them, and they were mended, but the
    draw did not go with them out, or nobody took them out. `before`: they were renewed before the vehicle came in, and
    it did not help."""

    parts: tuple[str, ...]
    how: Literal["themselves", "hangs", "something", "named", "before"]


class Gone(NamedTuple):
    """A stretch of a card's text, up to its `end` or to that of the card: whole entries while the draw was gone and
    nothing had been mended, `by_itself` or since something that was out is in again. `is_back`: it ended because the
    draw was read again, whatever was out then."""

    start: int
    end: int | None
    by_itself: bool
    is_back: bool = False

    def covers(self, span: Span | None) -> bool:
        return span is not None and self.start <= span.start < (self.end or sys.maxsize)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """`options` are equipment that is fitted (true) or not; `absent` are parts that a sheet shows but the car lacks,
    `there` parts that it has, whatever its equipment;
    `positions` how a switch stands on this car, parked, where that is not its first position; `looked` says that
    somebody looked all round the car and found nothing; `out` is what is out now; `own_battery` are parts that go on
    when they are unplugged, as somebody wrote down; `in_slot` are fuses that differ from the sheets, or of which those
    give no size; `mended` is what was mended although the vehicle still draws.
    `asleep_from` is the minute of the card's clock from which on a reading speaks of the parked car; None where the
    card does not say, or while the car is open. `door_open`: nobody wrote that the door that was opened last was shut,
    or the car locked. `other_state` are readings of it as it stood before something was
    turned or taken out that is left so. `turned` are those of `out` that are switches, each with the position it was
    turned to. `from_before` are those of `readings` that were made before something was mended, and in which its
    current may have flowed. `found_early` was found too early to be of the parked vehicle. `gone` is when the draw had
    gone, and `happens_when` when it happens, by the driver. `unused`: it was locked, and nobody used it before that."""

    readings: tuple[Reading, ...] = ()
    tries: tuple[Try, ...] = ()
    lines: tuple[NetworkLine, ...] = ()
    replies: tuple[ScanReply, ...] = ()
    codes: tuple[Code, ...] = ()
    relays: tuple[RelayVolts, ...] = ()
    inputs: tuple[InputSeen, ...] = ()
    volts: tuple[PinVolts, ...] = ()
    tested: tuple[InputsTested, ...] = ()
    switches: tuple[SwitchTested, ...] = ()
    added: tuple[AddedPart, ...] = ()
    absent: tuple[str, ...] = ()
    there: tuple[str, ...] = ()
    options: dict[str, bool] = field(default_factory=dict)
    positions: dict[str, str] = field(default_factory=dict)
    looked: bool = False
    out: tuple[str, ...] = ()
    found: tuple[FoundThere, ...] = ()
    found_early: tuple[FoundThere, ...] = ()
    batteries: tuple[BatterySeen, ...] = ()
    own_battery: tuple[str, ...] = ()
    in_slot: tuple[FuseInSlot, ...] = ()
    mended: tuple[MendedThing, ...] = ()
    asleep_from: float | None = None
    door_open: bool = False
    other_state: tuple[Reading, ...] = ()
    turned: dict[str, str] = field(default_factory=dict)
    from_before: tuple[Reading, ...] = ()
    gone: tuple[Gone, ...] = ()
    happens_when: str = ""
    unused: bool = False

    def told_between(self, start: int, end: int | None) -> "Evidence":
        """What stands on the card from one place in its text up to another: of a vehicle that was mended only one of
        the two was measured. What is fitted, and how switches stand, holds all along; what was out at the end of that
        stretch is what its last reading was made without."""

        def of_it(told: Sequence[_Told]) -> tuple[_Told, ...]:
            return tuple(one for one in told if one.span is not None and start <= one.span.start < (end or sys.maxsize))

        readings = of_it(self.readings)
        out = self.out if end is None else next((one.without for one in reversed(readings)), ())
        return replace(
            self, readings=readings, out=out, tries=of_it(self.tries), lines=of_it(self.lines),
            replies=of_it(self.replies), codes=of_it(self.codes), relays=of_it(self.relays), inputs=of_it(self.inputs),
            volts=of_it(self.volts), tested=of_it(self.tested), switches=of_it(self.switches), found=of_it(self.found),
            found_early=of_it(self.found_early),
            other_state=of_it(self.other_state),
        )  # fmt: skip

    def and_also(self, other: "Evidence") -> "Evidence":
        """This evidence followed by the other."""
        return Evidence(
            readings=self.readings + other.readings,
            tries=self.tries + other.tries,
            lines=self.lines + other.lines,
            replies=self.replies + other.replies,
            codes=self.codes + other.codes,
            relays=self.relays + other.relays,
            inputs=self.inputs + other.inputs,
            volts=self.volts + other.volts,
            tested=self.tested + other.tested,
            switches=self.switches + other.switches,
            added=self.added + other.added,
            absent=self.absent + other.absent,
            there=tuple(dict.fromkeys((*self.there, *other.there))),
            options={**self.options, **other.options},
            positions={**self.positions, **other.positions},
            looked=self.looked or other.looked,
            out=tuple(dict.fromkeys((*self.out, *other.out))),
            found=self.found + other.found,
            found_early=self.found_early + other.found_early,
            batteries=self.batteries + other.batteries,
            own_battery=tuple(dict.fromkeys((*self.own_battery, *other.own_battery))),
            in_slot=self.in_slot + other.in_slot,
            mended=tuple(dict.fromkeys((*self.mended, *other.mended))),
            asleep_from=other.asleep_from if other.asleep_from is not None else self.asleep_from,
            door_open=self.door_open or other.door_open,
            other_state=self.other_state + other.other_state,
            turned={**self.turned, **other.turned},
            from_before=self.from_before + other.from_before,
            gone=self.gone + other.gone,
            happens_when=other.happens_when or self.happens_when,
        )
