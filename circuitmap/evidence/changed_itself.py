"""Two steady looks at one battery that differ although the card says of nothing that was done in between: somebody
turned something, took it off or shut it, and did not write it down; or the draw changed by itself.

The last one must not win in silence: what went in between would be put on whatever is out by the card.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.found_there import Sign, sign_of
from circuitmap.evidence.job_card import Entry, JobCard
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try, has_fallen
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.platform import Platform


class ChangedItself(NamedTuple):
    """`earlier` and `later` with the same things out, and the remarks written from one to the other, each with the
    number of its entry, counted from 1. `found` are the places, as written, at which something was found in between
    that lets go where it is touched, each with the sign: that answers what was done."""

    earlier: Reading
    later: Reading
    remarks: tuple[tuple[int, str], ...] = ()
    found: tuple[tuple[str, Sign], ...] = ()

    @property
    def fell(self) -> bool:
        return (self.later.amps or 0.0) < (self.earlier.amps or 0.0)


LETS_GO: Collection[Sign] = ("chafed", "wet", "warm", "smells")
"""Signs at what whoever finds it has in hand, and moves, opens or dries (judgement)."""


def changed_itself(platform: Platform, card: JobCard, readings: Sequence[Reading]) -> tuple[ChangedItself, ...]:
    """Each such change at a battery, in the order of the card."""
    return tuple(_changes(platform, card, readings))


def changed_and_not_mended(platform: Platform, card: JobCard, readings: Sequence[Reading]) -> tuple[ChangedItself, ...]:
    """The same of the vehicle as it is: what changed before something was mended is no question any more."""
    mended = [entry.span.start for entry in card.entries if entry.mended is not None and entry.struck is None]
    return tuple(one for one in _changes(platform, card, readings) if not mended or _at(one.later) > mended[-1])


def _changes(platform: Platform, card: JobCard, readings: Sequence[Reading]) -> Iterator[ChangedItself]:
    last: dict[str, Reading] = {}
    for reading in readings:
        if not battery_read_at(platform, reading.place):
            continue
        before = last.get(reading.place)
        last[reading.place] = reading
        if before is None or not (_is_steady(before) and _is_steady(reading)) or before.without != reading.without:
            continue
        if not (has_fallen(before, reading) or has_fallen(reading, before)):
            continue
        between = _entries(card, before, reading)
        if between and not any(something_is_done(entry) for _, entry in between[1:]):
            remarks = ((n, entry.remark.value) for n, entry in between[1:] if entry.remark is not None)
            signs = ((its.name.value, sign_of(its.value.value.strip())) for _, e in between[1:] for its in e.found)
            found = tuple((name, sign) for name, sign in signs if sign is not None and sign in LETS_GO)
            yield ChangedItself(before, reading, tuple(remarks), found)


def _is_steady(reading: Reading) -> bool:
    return reading.watched and reading.speaks == "parked" and reading.log is None and not reading.during


def _entries(card: JobCard, first: Reading, last: Reading) -> list[tuple[int, Entry]]:
    """From the entry of one reading to that of the other, each with its number; struck ones are left out."""
    if first.span is None or last.span is None:
        return []
    start, end = first.span.start, last.span.start
    return [
        (number, entry)
        for number, entry in enumerate(card.entries, 1)
        if entry.struck is None and entry.span.end > start and entry.span.start <= end
    ]


def something_is_done(entry: Entry) -> bool:
    """Whether an entry says of something that may change the draw."""
    return bool(
        entry.out or entry.back or entry.turned or entry.stands or entry.state is not None or entry.mended is not None
        or entry.silent or entry.unsteady or entry.answers or entry.codes or entry.inputs or entry.battery
    )  # fmt: skip


def held_to_the_first(platform: Platform, card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence with each try held to what was read before the draw changed with nothing done: what went then did
    not go with what was out. A place that was first read after that says nothing of it."""
    changed = changed_itself(platform, card, evidence.readings)
    if not any(one.later.without for one in changed):
        return evidence
    starts = [(one.later.without, _entry_of(card, one.later)) for one in changed]
    held = (_held(one, starts, evidence.readings) for one in evidence.tries)
    return replace(evidence, tries=tuple(one for one in held if one is not None))


def _entry_of(card: JobCard, reading: Reading) -> int:
    """Where the entry of a reading begins in the card's text."""
    at = reading.span.start if reading.span is not None else 0
    return max((entry.span.start for entry in card.entries if entry.span.start <= at), default=at)


def _held(one: Try, starts: Sequence[tuple[tuple[str, ...], int]], readings: Sequence[Reading]) -> Try | None:
    at = _at(one.after)
    first = min((start for out, start in starts if out == one.after.without and start <= at), default=None)
    if first is None:
        return one
    since = max((_at(r) for r in readings if r.without != one.out and _at(r) < first), default=-1)
    before = [r for r in readings if r.place == one.after.place and r.without == one.out and since < _at(r) < first]
    if not before:
        return None
    after = before[-1]
    return replace(one, after=after, written=after.written, span=after.span)


def _at(reading: Reading) -> int:
    return reading.span.start if reading.span is not None else -1
