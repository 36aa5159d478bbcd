"""A job whose cause is no draw: the battery is not charged on the road, does not hold its charge, or is used more than
it is filled. Such a job is shown by the volts while it is charged or by the battery's own test, not by a night's log of
a draw that never was.

The kind is what the cause says at its end (`; kind charging`, `battery`, `habit`), or what its words say (the words are
common practice, no source). It counts only where no battery gave more than it may, and nothing took a draw with it.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from circuitmap.battery.charge import Chemistry
from circuitmap.battery.checked import at_rest, while_charging
from circuitmap.diagnosis.faults.kind_said import words_said
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.after_mending import AfterMending
from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.limits import Limits
from circuitmap.jobs.named_in_words import names_in
from circuitmap.jobs.trying import TryVerdict

NoDrawKind = Literal["charging", "battery", "habit"]
NoDrawShown = Literal["shown", "to-be-shown", "refuted", "unread"]
"""What the checks since say: it is right now, nothing yet, it is as wrong as before; `unread`: parts of the card could
not be read, so nobody can tell."""

_SAID: tuple[tuple[NoDrawKind, re.Pattern[str]], ...] = (
    ("charging", re.compile(r"\b(?:charg(?:e|es|ed|ing)|recharged)\b")),
    ("battery", re.compile(r"\b(?:sulphated|self-discharge|lost its capacity|shorted cell|does not hold)\b")),
    ("habit", re.compile(r"\b(?:short (?:trips|drives|runs)|habits?|how it is used|too little driven|stood for)\b")),
)


class NoDrawCause(NamedTuple):
    """`battery` is the one that has to show it; empty: no one is named. `before` is the check that had found it,
    `since` the one that says how it is now. `draws` is what was read last at each battery."""

    kind: NoDrawKind
    shown: NoDrawShown
    battery: str
    before: BatterySeen | None
    since: BatterySeen | None
    draws: tuple[Reading, ...]


def said_kind(cause: str) -> NoDrawKind | None:
    """Which of these a cause is about, by its kind or by its words."""
    told = words_said(cause)
    if any(kind in told for kind, _ in _SAID):
        return next(kind for kind, _ in _SAID if kind in told)
    return next((kind for kind, words in _SAID if words.search(cause.casefold())), None)


def no_draw_cause(
    cause: str,
    mended_at: int,
    checks: Sequence[BatterySeen],
    tries: Iterable[TryVerdict],
    totals: Mapping[str, Reading],
    limits: Limits,
    after: AfterMending,
    chemistry: Chemistry,
) -> NoDrawCause | None:
    """The job as one without a draw, where it is one; `totals` are the latest readings at each battery before, and
    `mended_at` is where the card's text says what was done."""
    kind = said_kind(cause)
    drew = any(against_limit(reading, limits.at(reading.place)) == "above" for reading in totals.values())
    went = any(one.verdict in ("proven", "involved", "part", "gone-by-itself") for one in tries)
    if kind is None or not totals or drew or went or after.outcome == "not-repaired":
        return None
    battery = _concerned(limits, cause, kind, checks)
    its = [check for check in checks if battery in ("", check.battery) and _tells(kind, check)]
    old = [check for check in its if _at(check) < mended_at and not _is_right(check, chemistry)]
    new = [check for check in its if _at(check) > mended_at or kind == "habit"]
    since = new[-1] if new else None
    shown: NoDrawShown = "to-be-shown"
    if since is not None:
        shown = "shown" if _is_right(since, chemistry) else "refuted"
    read = {battery_read_at(limits.platform, one.place): one for one in (*totals.values(), *after.quiet)}
    return NoDrawCause(kind, shown, battery, old[-1] if old else None, since, tuple(read.values()))


def _concerned(limits: Limits, cause: str, kind: NoDrawKind, checks: Iterable[BatterySeen]) -> str:
    """The battery that a cause names, or else the last that was found wrong, or the only one."""
    named = [name for name in names_in(limits.platform, cause, ()) if name in limits.batteries]
    checked = [check.battery for check in checks if _tells(kind, check) and not _is_right(check, "flooded")]
    only = limits.batteries if len(limits.batteries) == 1 else ()
    return next(iter((*named, *reversed(checked), *only)), "")


def _tells(kind: NoDrawKind, check: BatterySeen) -> bool:
    match kind:
        case "charging":
            return check.check == "charging"
        case "battery":
            return check.check in ("rest", "test")
        case "habit":
            return True


def _is_right(check: BatterySeen, chemistry: Chemistry) -> bool:
    if check.check == "test":
        return bool(check.passed)
    if check.volts is None:
        return False
    return (
        while_charging(check.volts) == "charged"
        if check.check == "charging"
        else at_rest(check.volts, chemistry)[0] == "full"
    )


def _at(check: BatterySeen) -> int:
    return check.span.start if check.span is not None else -1
