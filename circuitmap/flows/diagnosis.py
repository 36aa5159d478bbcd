"""The flow of a diagnosis: from words at a command, or a job card, to the suspects."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.evidence.car import AddedPart
from circuitmap.evidence.changes_seen import is_change, written_change
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.found_there import written_found
from circuitmap.evidence.meters import Meter, meter_named
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.scans import ScanReply
from circuitmap.evidence.tries import Try
from circuitmap.evidence.written_names import (
    batteries_of,
    feed_and_figure,
    removable,
    written_input,
    written_line,
    written_position,
    written_relay,
)
from circuitmap.evidence.written_readings import amount_of, current_of, place_of, reading_at, written_reading
from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.problems import Problem
from circuitmap.wiring.fitting import fitting_of
from circuitmap.wiring.names import find_part
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.diagnosis.diagnosis import Diagnosis
    from circuitmap.diagnosis.seen.experience import Experience
    from circuitmap.jobs.earlier import Beginning
    from circuitmap.jobs.standing import JobStanding


class TypedEvidence(NamedTuple):
    """Evidence as typed at a command, word for word."""

    readings: Sequence[str] = ()
    total: str = ""
    meter: str = "clamp"
    resolution: str = ""
    silent: Sequence[str] = ()
    unsteady: Sequence[str] = ()
    networks: Sequence[str] = ()
    unplugged: Sequence[str] = ()
    relays: Sequence[str] = ()
    inputs: Sequence[str] = ()
    fitted: Sequence[str] = ()
    absent: Sequence[str] = ()
    positions: Sequence[str] = ()
    found: Sequence[str] = ()
    own_battery: Sequence[str] = ()
    looked: bool = False


def open_for(folder: Path, options: tuple[str, ...], without: tuple[str, ...]) -> tuple[Bench, tuple[str, ...]]:
    """The platform for a car with these options. What the car is without may be options or parts; the parts are
    returned."""
    bench = open_bench(folder, options)
    absent = tuple(name for name in without if name in bench.platform.options)
    fitting = fitting_of(bench.platform, options, absent)
    parts = tuple(name for name in without if name not in absent)
    return replace(bench, fitting=fitting), parts


def evidence_typed(platform: Platform, typed: TypedEvidence) -> Evidence:
    """What was typed, checked against the platform; raises WrongUse with what is wrong."""
    meter = meter_named(typed.meter)
    if typed.resolution:
        meter = replace(meter, step=_step(typed.resolution))
    total = _total(platform, typed.total, meter) if typed.total else None
    amps = total.amps if total is not None else None
    readings = [] if total is None else [total]
    added = tuple(_added(platform, text) for text in typed.fitted)
    names = [part.name for part in added]
    readings += [written_reading(platform, text, meter, total=amps, added=names) for text in typed.readings]
    return Evidence(
        readings=tuple(readings),
        tries=tuple(_try(platform, text, meter, readings, names) for text in typed.unplugged),
        lines=tuple(_line(platform, text) for text in typed.networks),
        replies=(
            *(ScanReply(module=find_part(platform, name), reply="silent", written=name) for name in typed.silent),
            *(ScanReply(module=find_part(platform, name), reply="unsteady", written=name) for name in typed.unsteady),
        ),
        relays=tuple(written_relay(platform, *_pair(text, "held")) for text in typed.relays),
        inputs=tuple(written_input(platform, *_pair(text, "right")) for text in typed.inputs),
        added=added,
        absent=tuple(find_part(platform, name) for name in typed.absent),
        positions=dict(written_position(platform, *_pair(text, "POSITION")) for text in typed.positions),
        looked=typed.looked,
        found=tuple(written_found(platform, *_pair(text, "warm"), names) for text in typed.found),
        own_battery=tuple(removable(platform, text, names) for text in typed.own_battery),
    )


class OnCard(NamedTuple):
    """What a job card says about the platform, the problems in it, and which job it is. `since` is where the job stands
    once something was mended: the evidence is then that of the vehicle since."""

    evidence: Evidence
    problems: tuple[Problem, ...]
    job: "Beginning"
    since: "JobStanding | None" = None


def evidence_on_card(platform: Platform, card: Path) -> OnCard:
    """Read a job card for its evidence. Raises CannotRead for a file that is not a job card."""
    from circuitmap.circuit.links import circuit_of
    from circuitmap.evidence.timeline import evidence_on
    from circuitmap.jobs.back_at_once import with_what_came_back_at_once
    from circuitmap.jobs.earlier import beginning_of
    from circuitmap.jobs.job import card_source, read_within_limits
    from circuitmap.jobs.known_limits import with_known_limits
    from circuitmap.jobs.renewed_before import with_what_was_renewed

    read, problems = read_within_limits(card_source(card))
    evidence, more = evidence_on(platform, read)
    evidence = with_what_came_back_at_once(platform, with_what_was_renewed(platform, read, evidence))
    evidence = with_known_limits(lambda: circuit_of(platform), evidence)
    since = None
    if any(entry.mended is not None and entry.struck is None for entry in read.entries):
        from circuitmap.jobs.since_mending import SINCE, as_it_is_now
        from circuitmap.jobs.standing import standing_of

        standing = standing_of(platform, read, evidence, unread=bool(problems or more))
        evidence = as_it_is_now(platform, read, evidence, standing)
        since = standing if standing.stage in SINCE else None
    return OnCard(evidence, (*problems, *more), beginning_of(read), since)


def suspects(bench: Bench, evidence: Evidence, experience: "Experience | None" = None) -> "Diagnosis":
    """Rank what explains the evidence on this car, and the test to do next."""
    from circuitmap.diagnosis.diagnose import diagnose

    return diagnose(bench.circuit, evidence, bench.fitting, experience)


def experience_of(platform: Platform, folders: Sequence[Path], job: "Beginning | None") -> "Experience | None":
    """What the closed cards below the folders found; the `job` that is being worked on does not count."""
    if not folders:
        return None
    from circuitmap.flows.shelf import experience_on
    from circuitmap.jobs.earlier import NO_JOB

    return experience_on(platform, folders, job or NO_JOB)


def _step(text: str) -> float:
    step, _ = current_of(text)
    if step <= 0.0:
        raise WrongUse(f"{text} is not a display step.", "The resolution is that of the last digit, such as 10mA.")
    return step


def _total(platform: Platform, text: str, meter: Meter) -> Reading:
    batteries = batteries_of(platform)
    if len(batteries) != 1:
        names = ", ".join(f"{name}={text}" for name in batteries) or "no battery is typed in"
        raise WrongUse("--total is for vehicles with one battery.", f"Name the battery: {names}.")
    amount = amount_of(text)
    if amount.amps is None:
        raise WrongUse(f"{text} is not a current, such as 1.85A or 40mA.")
    return reading_at(platform, batteries[0], amount, meter, written=f"total {text}")


def _try(platform: Platform, text: str, meter: Meter, readings: Sequence[Reading], added: Sequence[str]) -> Try:
    """`LIFT=0.05A`, `LIFT=gone`, `F40,F41=0.05A` together, or `LIFT@AUX=0.05A` where it was not read at the battery."""
    names, equals, amount = text.partition("=")
    names, _, place = names.partition("@")
    out = tuple(removable(platform, name.strip(), added) for name in names.split(",") if name.strip())
    if not equals or not out:
        raise WrongUse(f"{text} is not a try.", "Write PART=READING, such as LIFT=0.05A: the current with LIFT out.")
    batteries = batteries_of(platform)
    if place:
        where = place_of(platform, place, added)
    elif len(batteries) == 1:
        where = batteries[0]
    else:
        raise WrongUse(f"{text}: read at which battery?", f"Write {names}@BATTERY={amount}.")
    if is_change(amount.strip()):
        change = written_change(amount)
        after = Reading(place=where, meter=meter, without=out, change=change, written=text)
    else:
        after = reading_at(platform, where, amount_of(amount), meter, without=out, written=text)
    before = next((r for r in reversed(readings) if r.place == where), None)
    return Try(out=out, before=before, after=after, written=text)


def _pair(text: str, example: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals:
        raise WrongUse(f"{text}: write NAME={example}.")
    return name.strip(), value.strip()


def _line(platform: Platform, text: str) -> NetworkLine:
    name, equals, value = text.partition("=")
    if not equals:
        raise WrongUse(f"{text} is not a network's state.", "Write NAME=awake, NAME=asleep or NAME=2.5V.")
    return written_line(platform, name.strip(), value.strip())


def _added(platform: Platform, text: str) -> AddedPart:
    name, word, fed_from = text.rpartition(" from ")
    if not word or not name.strip():
        raise WrongUse(f"{text}: fed from where?", 'Write --fitted "dash camera from F31".')
    fed_from, asleep = feed_and_figure(platform, name.strip(), fed_from)
    return AddedPart(name=name.strip(), fed_from=fed_from, written=text, asleep=asleep)
