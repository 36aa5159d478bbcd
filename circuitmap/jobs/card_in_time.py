"""Entries that arrive late: one goes where its time belongs, and one that was sent twice is taken once.

Two people write on one card, and what was typed without a line arrives when the line is back. The time it was typed
decides where it stands, to the second; the id that the device gave it decides whether the card has it already.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import NamedTuple

from circuitmap.evidence.entry_clock import first_day, minute_of
from circuitmap.evidence.job_card import Entry, JobCard, ReadCard
from circuitmap.evidence.written_time import A_DAY, WrittenTime, written_time
from circuitmap.failures import WrongUse
from circuitmap.jobs.card_writing import Fields, with_entry, with_strike

_ID = re.compile(r"[0-9a-z]{12,40}\Z", re.ASCII)
_HALF_A_DAY = A_DAY / 2


class Sender(NamedTuple):
    """Who wrote an entry, what the device calls it (12 to 40 of 0 to 9 and a to z), and when it was typed."""

    by: str
    id: str
    at: datetime


def is_id(text: str) -> bool:
    """Whether a device may call an entry so."""
    return _ID.match(text) is not None


def entry_with_id(card: JobCard, its_id: str) -> int | None:
    """The number of the entry that a device calls so, counted from 1, struck ones included."""
    return next((n for n, entry in enumerate(card.entries, 1) if entry.id and entry.id.value == its_id), None)


def with_entry_in_time(read: ReadCard, sender: Sender, fields: Fields) -> ReadCard:
    """The card with one more entry where its time belongs: behind all that are not later. The same card where it has
    the entry already. Raises WrongUse for an id that is none, BrokenCard if the card has errors."""
    card = read[0]
    if not is_id(sender.id):
        raise WrongUse("An entry's id is 12 to 40 of the letters a to z and the digits.")
    if entry_with_id(card, sender.id) is not None:
        return read
    behind, written = _place_in_time(card, sender.at)
    by: Fields = (("by", sender.by),) if sender.by.strip() else ()
    return with_entry(read, (("at", written), *by, ("id", sender.id), *fields), behind)


def with_strike_of(read: ReadCard, its_id: str, reason: str) -> ReadCard:
    """The card with an entry struck, which is told by its id: numbers shift when late entries arrive. Raises WrongUse
    if there is none."""
    number = entry_with_id(read[0], its_id)
    if number is None:
        raise WrongUse("The card has no such entry any more.")
    return with_strike(read, number, reason)


class _Standing(NamedTuple):
    """The number of an entry with a time, and its minutes, which only run forwards; `day`: some entry up to here says
    its day."""

    number: int
    minutes: float
    day: bool


def _standing(entries: Sequence[Entry]) -> Iterator[_Standing]:
    now: float | None = None
    first = first_day(entries)
    day = False
    for number, entry in enumerate(entries, 1):
        if entry.at is None or entry.struck is not None:
            continue
        try:
            now = minute_of(entry.at.value, now, first)
        except WrongUse:
            continue  # it is told where the card is read
        written = written_time(entry.at.value)
        day = day or (written is not None and written.day != "")
        yield _Standing(number, now, day)


def _place_in_time(card: JobCard, at: datetime) -> tuple[int, str]:
    """The entry behind which an entry of that time belongs, 0 for none, and the time as it is written there."""
    standing = list(_standing(card.entries))
    clock = WrittenTime("", at.hour * 60.0 + at.minute + at.second / 60, True)
    if standing and not standing[-1].day:  # the card tells clock times only: the day is that of its last entry
        last = standing[-1].minutes
        minutes = last // A_DAY * A_DAY + clock.minutes
        minutes += A_DAY if minutes < last - _HALF_A_DAY else 0.0
        written = clock.clock
    else:
        minutes = at.toordinal() * A_DAY + clock.minutes
        written = f"{at:%Y-%m-%d} {clock.clock}"
    later = next((its.number for its in standing if its.minutes > minutes), None)
    return (len(card.entries) if later is None else later - 1), written
