"""What was observed: each weighed observation as the evidence gives it, carried whole to whatever tells it."""

from dataclasses import dataclass
from typing import Literal, NamedTuple, assert_never

from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.evidence.checks_at_parts import InputSeen, InputsTested, PinVolts, RelayVolts, SwitchTested
from circuitmap.evidence.codes import Code
from circuitmap.evidence.evidence import MendedThing
from circuitmap.evidence.found_there import FoundThere
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.scans import ScanReply
from circuitmap.evidence.tries import Try


class Tried(NamedTuple):
    """A try as it was weighed. `outcome` is normal, down or stays, or `took over`: this battery gave
    more, and as much less came from another one, or `let go`: it stayed away with all in again; `why_not` why it says
    nothing: too early, too coarse, woken, nothing read before; `at_once`: what it kept awake may not have had the
    time to fall asleep, so that it speaks only of what flowed through it; `ended`: the chance that what comes and goes
    went by itself."""

    attempt: Try
    outcome: str = ""
    why_not: str = ""
    at_once: bool = False
    ended: float = 0.0


@dataclass(frozen=True, slots=True)
class Charged:
    """A reading at a battery that another battery charges while parked; or, at that other battery, of a current that
    comes out again behind the place `into`."""

    reading: Reading
    into: str = ""


@dataclass(frozen=True, slots=True)
class FigureAt:
    """At a fuse that shows `amps` some fault would take just that, going by what the sheets print."""

    place: str
    amps: float


@dataclass(frozen=True, slots=True)
class AllThatFlows:
    """At a place where `amps` flow, some fault would take more than that, going by what the sheets print."""

    place: str
    amps: float


@dataclass(frozen=True, slots=True)
class TooLittleOnTheWay:
    """A total of `amps`, where some fault would take all of it through places that show nothing."""

    place: str
    amps: float


@dataclass(frozen=True, slots=True)
class BothGive:
    """Several batteries give `amps` together, where some fault only joins them and takes nothing."""

    places: tuple[str, ...]
    amps: float


@dataclass(frozen=True, slots=True)
class LookedRound:
    """Somebody looked all round the car and found nothing."""


@dataclass(frozen=True, slots=True)
class SaidInTheWet:
    """When it happens, by the driver, where that is in the wet."""

    when: str


@dataclass(frozen=True, slots=True)
class LoggedCourse:
    """How the draw came in a night's log: it came and went, by the clock, like a thermostat or neither, came later and
    stayed on, or ran on long after the vehicle should have slept.
    `whose` it is by its clock, or by the
    time at which as much fell away when the vehicle fell asleep. `as_long` are wake pins that keep awake for just as
    long as it is up each time, `up_for` minutes."""

    reading: Reading
    course: Literal["comes and goes", "by the clock", "like a thermostat", "came later", "ran on"]
    whose: tuple[str, ...] = ()
    as_long: tuple[str, ...] = ()
    up_for: float = 0.0


@dataclass(frozen=True, slots=True)
class WasMended:
    """What was mended, and it draws all the same."""

    mended: MendedThing


@dataclass(frozen=True, slots=True)
class EarlierJobs:
    """What a number of earlier jobs found."""

    jobs: int


Observation = (
    Segment
    | FigureAt
    | AllThatFlows
    | TooLittleOnTheWay
    | BothGive
    | Charged
    | NetworkLine
    | ScanReply
    | Code
    | RelayVolts
    | InputSeen
    | PinVolts
    | FoundThere
    | InputsTested
    | SwitchTested
    | LookedRound
    | SaidInTheWet
    | LoggedCourse
    | WasMended
    | Tried
    | EarlierJobs
)


def order_of(observation: Observation) -> tuple[str, str, str]:
    """Where an observation stands among all others: by its kind, then by what it is about."""
    match observation:
        case Charged():
            return "charging", observation.reading.place, observation.reading.written
        case Code():
            return "code", observation.about, observation.code
        case EarlierJobs():
            return "earlier", "", str(observation.jobs)
        case FigureAt():
            return "figure", observation.place, str(observation.amps)
        case AllThatFlows():
            return "limit", observation.place, str(observation.amps)
        case TooLittleOnTheWay():
            return "zeros", observation.place, str(observation.amps)
        case BothGive():
            return "both give", " ".join(observation.places), str(observation.amps)
        case FoundThere():
            return "found", observation.place, observation.sign
        case InputSeen():
            return "input", observation.part, observation.written
        case PinVolts():
            return "volts", str(observation.pin), " ".join((observation.written, *observation.without))
        case InputsTested():
            return "inputs", observation.part, str(observation.fine)
        case SwitchTested():
            return "switch", observation.part, observation.written
        case NetworkLine():
            return "line", observation.network, observation.written
        case LoggedCourse():
            return "logged", observation.reading.place, observation.reading.written
        case LookedRound():
            return "looked", "", ""
        case SaidInTheWet():
            return "wet", "", observation.when
        case WasMended():
            return "mended", ", ".join(observation.mended.parts), observation.mended.how
        case Segment():
            return "reading", observation.place, observation.readings[0].written
        case RelayVolts():
            return "relay", observation.relay, observation.state
        case ScanReply():
            return "scan", observation.module, observation.reply
        case Tried():
            of = "let go" if observation.outcome == "let go" else "try"
            return of, ", ".join(observation.attempt.out), observation.attempt.written
        case _:
            assert_never(observation)
