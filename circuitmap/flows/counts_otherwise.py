"""Whose entries count otherwise since another one arrived late: `out F40` put before somebody's total changes what that
total means, and whoever read it is told."""

from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.job import Job
from circuitmap.reports.job.card_text import entry_words
from circuitmap.reports.words.paragraphs import joined

_STATE = {"parked": "with the car asleep", "early": "too early", "woken": "just after it was woken"}


class CountsOtherwise(NamedTuple):
    """An entry that stands as it was, whose readings are now taken for another state of the car."""

    id: str
    by: str
    says: str
    was: str
    now: str


def moved_by(before: Job, after: Job) -> Iterator[CountsOtherwise]:
    """The entries with an id that were on the card before and count otherwise now."""
    old = {entry.id.value: _counts(before, entry) for entry in before.card.entries if entry.id is not None}
    for entry in after.card.entries:
        if entry.id is None or entry.struck is not None or entry.id.value not in old:
            continue
        was, now = old[entry.id.value], _counts(after, entry)
        if was and now and was != now:
            by = entry.by.value if entry.by is not None else ""
            yield CountsOtherwise(entry.id.value, by, entry_words(entry), was, now)


def _counts(job: Job, entry: Entry) -> str:
    """As what the readings of an entry count."""
    its = [r for r in job.evidence.readings if r.span is not None and entry.span.start <= r.span.start < entry.span.end]
    return joined(list(dict.fromkeys(map(_words, its)))) if its else ""


def _words(reading: Reading) -> str:
    out = f", {joined(list(reading.without))} out" if reading.without else ""
    return f"{_STATE[reading.speaks]}{out}"
