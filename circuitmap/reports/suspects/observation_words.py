"""What was observed, in words: as a sentence, and as a name."""

from typing import assert_never

from circuitmap.diagnosis.explaining.reasons import About, Unseen
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.seen.observed import (
    AllThatFlows,
    BothGive,
    Charged,
    EarlierJobs,
    FigureAt,
    LoggedCourse,
    LookedRound,
    SaidInTheWet,
    TooLittleOnTheWay,
    Tried,
    WasMended,
)
from circuitmap.evidence.checks_at_parts import InputSeen, InputsTested, PinVolts, RelayState, RelayVolts, SwitchTested
from circuitmap.evidence.codes import Code
from circuitmap.evidence.evidence import MendedThing
from circuitmap.evidence.found_there import FoundThere, Sign
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.scans import Reply, ScanReply
from circuitmap.evidence.written_names import batteries_of
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.fault_words import network_words
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.platform import Platform

BEFORE_ANY_READING = "before any reading"


def said(platform: Platform, about: About) -> str:
    """What was seen, as a sentence without its full stop."""
    match about:
        case Segment():
            return f"{about.place} shows {ampere(about.readings[0].on_meter)}"
        case NetworkLine():
            return _line(platform, about)
        case Charged():
            amps = ampere(abs(about.reading.amps or 0.0))
            if about.into:
                return f"what {about.into} gives is less than what hangs there takes, and {about.reading.place} has it"
            return f"{about.reading.place} is being charged, {amps}: something joins it to the other battery"
        case EarlierJobs():
            jobs = "1 earlier job" if about.jobs == 1 else f"{about.jobs} earlier jobs"
            return f"what {jobs} of the shop found"
        case ScanReply():
            return f"{about.module} {_replied(about.reply)} in the scans with the key on"
        case Code():
            return f"code {about.code}, back after clearing, misses {about.about}"
        case RelayVolts():
            return f"{about.relay}: {_stands(about.state)}"
        case InputSeen():
            return f"{about.part} is seen {'as it is' if about.right else 'otherwise than it is'} in the live data"
        case PinVolts():
            out = f", with {joined(about.without)} out" if about.without else ""
            return f"{about.pin} has {about.volts:.1f} V to ground{out}"
        case FoundThere():
            return f"{about.place} {_FOUND[about.sign]}"
        case InputsTested():
            return f"the inputs of {about.part}, tested apart, are {'fine' if about.fine else 'bad'}"
        case SwitchTested():
            return f"{about.part}, tested by itself, is {'fine' if about.fine else 'bad'}"
        case LoggedCourse():
            return _logged(about)
        case FigureAt():
            return f"{ampere(about.amps)} at {about.place} is just what the sheets' figures come to"
        case AllThatFlows():
            return f"no more than {ampere(about.amps)} flow at {about.place}, and the sheets' figures come to more"
        case TooLittleOnTheWay():
            return f"{ampere(about.amps)} flow at {about.place}, and would all pass places that show nothing"
        case BothGive():
            return f"{joined(list(about.places))} both give, {ampere(about.amps)} together: something takes that"
        case LookedRound():
            return "a look round found nothing"
        case SaidInTheWet():
            return f"it happens, the driver says: {about.when}"
        case WasMended():
            return _mended(about.mended)
        case Tried():
            return _tried(platform, about)
        case Unseen.ONE_ZERO:
            return "the meter's zero is the same in all its readings"
        case Unseen.BEFORE:
            return "before any reading: how often this is the cause"
        case _:
            assert_never(about)


def name_of(about: About) -> str:
    """What an observation is called in data: the place of a reading, else its kind and what it is about."""
    match about:
        case Segment():
            return about.place
        case NetworkLine():
            return f"line {about.network}"
        case Charged():
            return f"charging {about.reading.place}"
        case EarlierJobs():
            return "earlier"
        case ScanReply():
            return f"scan {about.module}"
        case Code():
            return f"code {about.about}"
        case RelayVolts():
            return f"relay {about.relay}"
        case InputSeen():
            return f"input {about.part}"
        case PinVolts():
            return f"volts {about.pin}"
        case FoundThere():
            return f"found {about.place}"
        case InputsTested():
            return f"inputs of {about.part}"
        case SwitchTested():
            return f"{about.part} itself"
        case LoggedCourse():
            return f"log {about.reading.place}"
        case FigureAt():
            return f"figure {about.place}"
        case AllThatFlows():
            return f"limit {about.place}"
        case TooLittleOnTheWay():
            return f"zeros {about.place}"
        case BothGive():
            return f"both give {', '.join(about.places)}"
        case LookedRound():
            return "looked"
        case SaidInTheWet():
            return "in the wet"
        case WasMended():
            return f"mended {', '.join(about.mended.parts)}"
        case Tried():
            return f"try {', '.join(about.attempt.out)}"
        case Unseen.ONE_ZERO:
            return "zero"
        case Unseen.BEFORE:
            return BEFORE_ANY_READING
        case _:
            assert_never(about)


def name_or_as_written(about: About) -> str:
    """The same for use beside figures: a reading and a line as somebody typed them."""
    if isinstance(about, Segment):
        return about.readings[0].written
    return about.written if isinstance(about, NetworkLine) else name_of(about)


def _mended(mended: MendedThing) -> str:
    parts = joined(mended.parts)
    match mended.how:
        case "themselves":
            return f"the draw went with {parts} out, and that was mended"
        case "hangs":
            return f"the draw went with {parts} out, and something that hangs there was mended"
        case "something":
            return f"the draw went with {parts} out, and something was mended"
        case "named":
            return f"{parts} was mended, and it draws all the same"
        case "before":
            return f"{parts} was renewed before it came in, and it did not help"
        case _:
            assert_never(mended.how)


def _logged(seen: LoggedCourse) -> str:
    log = seen.reading.log
    rose = f", and {log.rose_first} rises first" if log is not None and log.rose_first else ""
    whose = f", as {joined(seen.whose, 'or')} wakes, or falls asleep, by the sheets" if seen.whose else ""
    pins = joined(seen.as_long, "or")
    up = f", up {seen.up_for:.1g} min each time, as what comes at {pins} wakes" if pins else ""
    match seen.course:
        case "comes and goes":
            return f"it comes and goes{up}{whose}{rose}"
        case "by the clock":
            return f"it comes and goes by the clock{up}{whose}{rose}"
        case "like a thermostat":
            return f"it comes and goes as a thermostat does{whose}{rose}"
        case "came later":
            return f"it came on once the vehicle slept, and stayed on{rose}"
        case "ran on":
            return f"it ran on when the vehicle should have slept, and went off by itself{rose}"
        case _:
            assert_never(seen.course)


def _replied(reply: Reply) -> str:
    match reply:
        case "silent":
            return "never answered"
        case "unsteady":
            return "came and went"
        case "answers":
            return "answered every time"
        case _:
            assert_never(reply)


def _stands(state: RelayState) -> str:
    match state:
        case "held":
            return "volts at its coil: something drives it"
        case "stuck":
            return "no volts at its coil, yet its contact is closed"
        case "open":
            return "no volts at its coil, contact open"
        case _:
            assert_never(state)


_FOUND: dict[Sign, str] = {
    "burning": "was seen burning", "warm": "was found warm", "smells": "smells of it", "wet": "was found wet",
    "chafed": "was found chafed", "dark": "was seen dark",
    "sound": "was followed and found sound",
}  # fmt: skip

_OUTCOME = {"normal": "back to normal", "down": "down, not to normal", "stays": "no change"}


def _tried(platform: Platform, tried: Tried) -> str:
    """`with E12.S at off: 0.42 A of 2.93 A less`; of a part of the current, how much."""
    attempt = tried.attempt
    at = dict(attempt.turned)
    out = [name for name in attempt.out if name not in at]
    did = joined([*(f"{name} at {its}" for name, its in at.items()), *([f"{joined(out)} out"] if out else [])])
    before, after = attempt.before, attempt.after
    if tried.outcome == "down" and before is not None and before.amps is not None and after.amps is not None:
        less = f"{ampere(before.amps - after.amps)} of {ampere(before.amps)} less"
        return f"with {did}: {less} at {after.place}{_by_itself(tried)}"
    if tried.outcome == "took over" and after.amps is not None:
        return f"with {did}: {after.place} takes over what came from the other battery ({ampere(after.amps)} now)"
    if tried.outcome == "let go":
        return f"with {did}: it went, and stayed away with all in again: what holds itself lets go so"
    if tried.outcome == "stays" and tried.at_once:
        return f"with {did}: no change so far (what it may have kept awake had no time to fall asleep)"
    # At the only battery all of it was read; anywhere else what is normal there need not be normal for the vehicle.
    place = "" if batteries_of(platform) == (after.place,) else f"{after.place} "
    return f"with {did}: {place}{_OUTCOME.get(tried.outcome, tried.outcome)}{_by_itself(tried)}"


def _by_itself(tried: Tried) -> str:
    """That it stayed away with all in again; or how likely what comes and goes had ended meanwhile, by how long it is
    up at a time."""
    if tried.attempt.stayed_away:
        return ", and it stayed away with all in again: reset, or by itself"
    return f" (by itself: {chance(tried.ended)})" if tried.ended > 0.0 else ""


def _line(platform: Platform, line: NetworkLine) -> str:
    """`The body network BODY: 2.5V, awake when it should be asleep`; for what was heard without volts, only the
    state."""
    name = network_words(platform, line.network)
    rests = "at rest, nobody talks" if platform.networks[line.network].kind == "lin" else "asleep"
    state = "awake when it should be asleep" if line.state == "awake" else rests
    if line.state == "held down":
        with_out = f" with {joined(line.without)} out, too" if line.without else ""
        state = f"held down{with_out}: shorted to ground, by itself or in a member, or without supply"
    return f"{name[0].upper()}{name[1:]}: {state if line.volts is None else f'{line.value}, {state}'}"
