"""What others say they found, and what was measured of it here."""

from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.jobs.job import Job
from circuitmap.jobs.named_in_words import names_in
from circuitmap.jobs.one_try import Verdict
from circuitmap.jobs.trying import TryVerdict

TELLS: tuple[Verdict, ...] = ("proven", "involved", "part", "own-share", "cleared")
"""What a try of a part must have come to, to say something of what was claimed of that part."""


class Claim(NamedTuple):
    """What was claimed, as written, and the last try here of each part that it names; none: not measured."""

    words: str
    tried: tuple[TryVerdict, ...]


def claims_on(job: Job) -> Iterator[Claim]:
    added = [part.name for part in job.evidence.added]
    tries = [one for one in (*job.standing.tries, *job.standing.tries_since) if one.verdict in TELLS]
    for entry in job.card.entries:
        if entry.claim is None or entry.struck is not None:
            continue
        names = set(names_in(job.platform, entry.claim.value, added))
        its = {one.out: one for one in tries if names.issuperset(one.out)}
        yield Claim(entry.claim.value, tuple(its.values()))
