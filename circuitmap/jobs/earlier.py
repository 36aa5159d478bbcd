"""What earlier jobs found counts for the next one, as counts do.

A part that was the confirmed cause in n of N earlier jobs of the same platform has its odds moved by

    new share = (K p + n) / (K + N)

where p is its share of what could be wrong before anything was measured and K how many jobs that first judgement is
worth: the mean of a Beta distribution with weights K p and K (1 - p) after n of N (the rule of succession, as in any
text on Beta-Binomial counts). Jobs of other platforms speak of the kind of part only, and each counts for
`OTHER_PLATFORM` of one. So one earlier case moves the odds and never drowns them.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from circuitmap.evidence.job_card import JobCard
from circuitmap.wiring.platform import Platform

WORTH = 20.0
"""K: the judgement before any job is worth as many jobs (judgement)."""

OTHER_PLATFORM = 0.2
"""What a job of another platform counts for, by the kind of its part (judgement)."""

_WORD = re.compile(r"[^\s,;:]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedJob:
    """A job with a confirmed cause. `kind` is that of the part; both are empty if the cause names no part."""

    job: str
    platform: str
    part: str
    kind: str
    cause: str


def closed_job(platform: Platform, card: JobCard) -> ClosedJob | None:
    """What the card teaches; None while its cause is not confirmed, or was struck."""
    cause = next((e.cause.value for e in reversed(card.entries) if e.cause is not None and e.struck is None), "")
    if not cause.strip():
        return None
    part = part_in(platform, cause)
    job = card.intake["job"].value if "job" in card.intake else ""
    kind = platform.parts[part].kind if part else ""
    return ClosedJob(job=job, platform=platform.name, part=part, kind=kind, cause=cause.strip())


def part_in(platform: Platform, cause: str) -> str:
    """The first part that a cause names, in full or by a unique tail written as the name is; empty if none."""
    tails: dict[str, set[str]] = {}
    for name in platform.parts:
        levels = name.split(".")
        for start in range(len(levels)):
            tails.setdefault(".".join(levels[start:]), set()).add(name)
    for word in _WORD.findall(cause):
        if word in platform.parts:
            return str(word)
        found = tails.get(word.rstrip("."), set())
        if len(found) == 1:
            return next(iter(found))
    return ""


def each_once(jobs: Iterable[ClosedJob]) -> tuple[ClosedJob, ...]:
    """A card that was copied counts once: the same job of the same platform, or the same words without a number."""
    known: dict[tuple[str, str, str], ClosedJob] = {}
    for job in jobs:
        known.setdefault((job.platform, job.job, "" if job.job else job.cause), job)
    return tuple(known.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Experience:
    """Counts of confirmed causes: by part on this platform, by kind of part on all others."""

    same: Mapping[str, int]
    others: Mapping[str, int]

    @property
    def jobs(self) -> int:
        return sum(self.same.values()) + sum(self.others.values())


def experience_for(platform: Platform, jobs: Iterable[ClosedJob], leave_out: str = "") -> Experience:
    """What the closed jobs say for a platform; the job `leave_out` (the one being worked on) does not count."""
    same: Counter[str] = Counter()
    others: Counter[str] = Counter()
    for job in each_once(jobs):
        if job.platform == platform.name and job.job and job.job == leave_out:
            continue
        if job.platform == platform.name and job.part:
            same[job.part] += 1
        elif job.platform != platform.name and job.kind:
            others[job.kind] += 1
    return Experience(same=dict(same), others=dict(others))


def new_shares(shares: Mapping[str, float], kinds: Mapping[str, str], experience: Experience) -> dict[str, float]:
    """Shares of the parts (they add up to 1) after the counts; `kinds` gives each part's kind.

    First the kinds move by what other platforms taught, then the parts by this platform's own jobs.
    """
    by_kind: dict[str, float] = {}
    for part, share in shares.items():
        by_kind[kinds[part]] = by_kind.get(kinds[part], 0.0) + share
    heard = sum(count for kind, count in experience.others.items() if kind in by_kind) * OTHER_PLATFORM
    kind_factor = {
        kind: (WORTH * share + OTHER_PLATFORM * experience.others.get(kind, 0)) / ((WORTH + heard) * share)
        for kind, share in by_kind.items()
        if share > 0.0
    }
    moved = {part: share * kind_factor.get(kinds[part], 1.0) for part, share in shares.items()}
    seen = sum(count for part, count in experience.same.items() if part in moved)
    return {
        part: (WORTH * share + experience.same.get(part, 0)) / (WORTH + seen) for part, share in moved.items()
    }
