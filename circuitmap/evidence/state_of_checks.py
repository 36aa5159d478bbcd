"""In which of a log's two states relays, pins and networks were measured: as the entry says, or as the last look at
the battery just before showed it."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import NamedTuple, TypeVar

from circuitmap.evidence.changed_itself import something_is_done
from circuitmap.evidence.checks_at_parts import PinVolts, RelayVolts
from circuitmap.evidence.entry_clock import first_day, minute_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.log_states import state_shown
from circuitmap.evidence.logs import Log
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import During, Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.failures import WrongUse
from circuitmap.wiring.platform import Platform

NEAR = 5.0
"""So many minutes after a look at the battery it is still as it was then (judgement). Where the log says how long it is
up at a time, no longer than that."""

_Check = TypeVar("_Check", RelayVolts, PinVolts, NetworkLine)


class _Shown(NamedTuple):
    """In the text from `start` up to `end` a log's state was `during`."""

    start: int
    end: int
    during: During


def with_state_of_checks(platform: Platform, card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence with the state in which each check was made, where that is known."""
    shown = list(_shown(platform, card, evidence.readings))

    def told(checks: Sequence[_Check]) -> tuple[_Check, ...]:
        return tuple(replace(one, during=_at(one, shown)) for one in checks)

    return replace(
        evidence, relays=told(evidence.relays), volts=told(evidence.volts), lines=told(evidence.lines)
    )  # fmt: skip


def _at(one: RelayVolts | PinVolts | NetworkLine, shown: Sequence[_Shown]) -> During:
    at = one.span.start if one.span is not None else -1
    return next((its.during for its in shown if its.start <= at < its.end), "")


def _shown(platform: Platform, card: JobCard, readings: Sequence[Reading]) -> Iterator[_Shown]:
    """For each entry the state it is in. What anybody does, and a new log, ends what was shown before it."""
    now: float | None = None
    first = first_day(card.entries)
    logs: dict[str, Log] = {}
    last: tuple[During, float | None, float] = ("", None, NEAR)
    for entry in (its for its in card.entries if its.struck is None):
        start, end = entry.span.start, entry.span.end
        if entry.at is not None:
            with suppress(WrongUse):  # told with the other times of the card
                now = minute_of(entry.at.value, now, first)
        if something_is_done(entry) or entry.mended is not None or entry.state is not None:
            last = ("", None, NEAR)
        for reading in readings:
            place = battery_read_at(platform, reading.place)
            if reading.span is None or not start <= reading.span.start < end or not place or reading.without:
                continue
            if reading.log is not None:
                logs[place] = reading.log
                last = ("", None, NEAR)
            elif place in logs and (logs[place].comes_and_goes or logs[place].floor_draws):
                last = (state_shown(reading, logs[place]), now, min(NEAR, logs[place].up_for or NEAR))
        if entry.during is not None:
            last = (_said(entry.during.value), now, NEAR)
        during, since, near = last
        here = since is not None and now is not None and now - since <= near
        if during and (here or entry.during is not None):
            yield _Shown(start, end, during)


def _said(text: str) -> During:
    return "floor" if text == "floor" else "event"
