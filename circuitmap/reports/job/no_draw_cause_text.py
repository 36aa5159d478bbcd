"""What is said of a job whose cause is no draw: the headline, and what shows it."""

from collections.abc import Iterator

from circuitmap.battery.checked import WHILE_CHARGED
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.jobs.no_draw_cause import NoDrawCause
from circuitmap.jobs.standing import JobStanding
from circuitmap.reports.words.cautions import StepKind, caution_sentences, cautions_at
from circuitmap.reports.words.limit_words import limit_words, shown_words
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.platform import Platform

_HELD = f"{WHILE_CHARGED.low:g} to {WHILE_CHARGED.high:g} V for 12 V; common practice, no source"


def check_words(check: BatterySeen) -> str:
    """`LEIS 14.0 V while charging`, `BAT test passed`."""
    match check.check:
        case "test":
            return f"{check.battery} test {'passed' if check.passed else 'failed'}"
        case "rest":
            return f"{check.battery} {check.volts:g} V at rest"
        case "charging":
            return f"{check.battery} {check.volts:g} V while charging"


def no_draw_cause_headline(standing: JobStanding, its: NoDrawCause, subject: str) -> str:
    """The job in one line; `subject` is what was found, with a colon before it."""
    limit = limit_words(standing, its.draws[0].place)
    read = joined([f"{one.place} {shown_words(one, standing.limits.at(one.place))}" for one in its.draws])
    none = f"It draws no more than it should: {read}; the limit is {limit}."
    was = f" (before: {check_words(its.before)})" if its.before is not None else ""
    now = f" {check_words(its.since)}{was}." if its.since is not None else ""
    if its.kind == "habit":
        return _habit_headline(its, subject, now, f"Parked it{none.removeprefix('It')}")
    match its.shown:
        case "shown":
            return f"MENDED AND SHOWN{subject}.{now} {none}"
        case "refuted":
            return f"NOT MENDED{subject}.{now} {none}"
        case "unread":
            return f"MENDED, NOT YET SHOWN{subject}. Parts of the card could not be read. {none}"
        case "to-be-shown":
            return f"MENDED, NOT YET SHOWN{subject}. {none} No night's log is needed for that: {_wanted(its)}."


def _habit_headline(its: NoDrawCause, subject: str, now: str, none: str) -> str:
    """What is no fault is not mended, and nothing but another use ends it."""
    match its.shown:
        case "shown":
            return f"NO FAULT, USED MORE THAN IT IS FILLED{subject}.{now} {none} It goes on if it is used so."
        case "refuted":
            return f"NOT BY ITS USE ALONE{subject}.{now} {none}"
        case "unread":
            return f"NO FAULT FOUND, NOT YET SHOWN{subject}. Parts of the card could not be read. {none}"
        case "to-be-shown":
            return f"NO FAULT FOUND, NOT YET SHOWN{subject}. {none} No night's log is needed for that: {_wanted(its)}."


def is_habit(standing: JobStanding) -> bool:
    """Whether the card says that it is the use, and that the battery bears it out or not yet refutes it."""
    its = standing.no_draw_cause
    return its is not None and its.kind == "habit" and its.shown != "refuted" and standing.battery_job is None


def _wanted(its: NoDrawCause) -> str:
    which = its.battery or "the battery"
    if its.kind == "charging":
        return f"what shows it are the volts of {which} while it is charged ({_HELD})"
    return f"what shows it is {which} charged at rest, or its test"


def no_draw_cause_next(platform: Platform, its: NoDrawCause) -> Iterator[str]:
    """What is left to do, with what to take care of."""
    which = its.battery or "BATTERY"
    step: StepKind
    if its.shown == "unread":
        yield "Mend the card first: circuitmap card show CARD tells where."
        return
    if its.kind == "charging":
        step = "charging"
        yield f"Let run what charges it, and read {which} (battery {which} charging ..V)."
    else:
        step = "charge-battery"
        yield f"Charge it, let it rest, and read it, or test it (battery {which} rest ..V, battery {which} test fine)."
    if its.shown == "refuted":
        yield "It is as wrong as it was: follow the way from what charges it, volts at each plug and fuse on it."
    yield from caution_sentences(cautions_at(platform, step, [its.battery] if its.battery else ()))
