"""What others say they found, and what was measured of it here."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitmap.evidence.checks_at_parts import RelayState
from circuitmap.jobs.job import Job
from circuitmap.jobs.named_in_words import names_in
from circuitmap.jobs.one_try import Verdict
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.wiring.parts import Fuse

TELLS: tuple[Verdict, ...] = ("proven", "involved", "part", "own-share", "cleared")
"""What a try of a part must have come to, to say something of what was claimed of that part."""


class Claim(NamedTuple):
    """What was claimed, as written, and the last try here of each part that it names; `read` is what was read here of
    these parts themselves, in words: the current of a fuse, what the volts at a relay say. None of both: not
    measured."""

    words: str
    tried: tuple[TryVerdict, ...]
    read: tuple[str, ...] = ()


def claims_on(job: Job) -> Iterator[Claim]:
    added = [part.name for part in job.evidence.added]
    tries = [one for one in (*job.standing.tries, *job.standing.tries_since) if one.verdict in TELLS]
    for entry in job.card.entries:
        if entry.claim is None or entry.struck is not None:
            continue
        named = names_in(job.platform, entry.claim.value, added)
        its = {one.out: one for one in tries if set(named).issuperset(one.out)}
        yield Claim(entry.claim.value, tuple(its.values()), tuple(_read_of(job, named)))


_RELAY_WORDS: dict[RelayState, str] = {
    "open": "open, by its volts", "held": "held in by its coil, by its volts", "stuck": "stuck closed, by its volts",
}  # fmt: skip


def _read_of(job: Job, names: Iterable[str]) -> Iterator[str]:
    """What was read last of each part by itself, of the parked vehicle with all in, before anything was mended."""
    mended = job.standing.mended_entry
    until = job.card.entries[mended - 1].span.start if mended else None
    its = job.evidence if until is None else job.evidence.told_between(0, until)
    readings = {r.place: r for r in its.readings if r.speaks == "parked" and not r.without and r.amps is not None}
    relays = {one.relay: one.state for one in its.relays if not one.without}
    for name in names:
        if name in relays:
            yield f"{name} {_RELAY_WORDS[relays[name]]}"
        elif name in readings and isinstance(job.platform.parts.get(name), Fuse):
            yield f"{name} {ampere_words(readings[name].amps, is_fine(readings[name]))}"
