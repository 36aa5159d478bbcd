"""Everything that is known of one car, in the order in which it was written down."""

from dataclasses import dataclass, field

from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.car import AddedPart
from circuitmap.evidence.checks_at_parts import InputSeen, InputsTested, RelayVolts
from circuitmap.evidence.codes import Code
from circuitmap.evidence.found_there import FoundThere
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.scans import ScanReply
from circuitmap.evidence.tries import Try


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """`options` are equipment that is fitted (true) or not; `absent` are parts that a sheet shows but the car lacks;
    `positions` how a switch stands on this car, parked, where that is not its first position; `looked` says that
    somebody looked all round the car and found nothing; `out` is what is out now; `own_battery` are parts that go on
    when they are unplugged, as somebody wrote down."""

    readings: tuple[Reading, ...] = ()
    tries: tuple[Try, ...] = ()
    lines: tuple[NetworkLine, ...] = ()
    replies: tuple[ScanReply, ...] = ()
    codes: tuple[Code, ...] = ()
    relays: tuple[RelayVolts, ...] = ()
    inputs: tuple[InputSeen, ...] = ()
    tested: tuple[InputsTested, ...] = ()
    added: tuple[AddedPart, ...] = ()
    absent: tuple[str, ...] = ()
    options: dict[str, bool] = field(default_factory=dict)
    positions: dict[str, str] = field(default_factory=dict)
    looked: bool = False
    out: tuple[str, ...] = ()
    found: tuple[FoundThere, ...] = ()
    batteries: tuple[BatterySeen, ...] = ()
    own_battery: tuple[str, ...] = ()

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
            tested=self.tested + other.tested,
            added=self.added + other.added,
            absent=self.absent + other.absent,
            options={**self.options, **other.options},
            positions={**self.positions, **other.positions},
            looked=self.looked or other.looked,
            out=tuple(dict.fromkeys((*self.out, *other.out))),
            found=self.found + other.found,
            batteries=self.batteries + other.batteries,
            own_battery=tuple(dict.fromkeys((*self.own_battery, *other.own_battery))),
        )
