"""The shop's closed jobs: what each one found, counted once, for the next diagnosis.

One job may lie on the shelf several times: the card at hand itself, a copy of it, the card as it was at noon. Where
both have a number they are one job if the number is the same. Else they are if they begin alike: what was taken in, and
all entries up to the first reading, to the digit and the minute.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.faults.kind_said import kinds_in
from circuitmap.diagnosis.seen.experience import Experience, part_in
from circuitmap.evidence.job_card import JobCard
from circuitmap.wiring.platform import Platform


class Beginning(NamedTuple):
    """What tells jobs apart: its number, if it has one, and how its card begins (empty where nothing is known)."""

    number: str = ""
    began: str = ""

    def is_same(self, other: "Beginning") -> bool:
        if self.number and other.number:
            return self.number == other.number
        return bool(self.began) and self.began == other.began


def beginning_of(card: JobCard) -> Beginning:
    """How a card begins. Its platform is a path, which a copy in another folder may write otherwise."""
    number = card.intake["job"].value.strip() if "job" in card.intake else ""
    taken_in = sorted((key, text.value) for key, text in card.intake.items() if key not in ("job", "platform"))
    lists = [text.value for text in (*card.fitted, *card.absent)]
    told: list[tuple[str, ...]] = []
    for entry in card.entries:
        total = (entry.total.value,) if entry.total is not None else ()
        pairs = [f"{pair.name.value}={pair.value.value}" for pair in (*entry.read, *entry.log, *entry.logged)]
        texts = [text.value if text is not None else "" for text in (entry.at, entry.state, entry.meter, entry.cause)]
        told.append((*texts, *total, *pairs))
        if total or pairs:
            break
    return Beginning(number, repr((taken_in, lists, told)))


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedJob:
    """A job with a confirmed cause. `kind` is that of the part; both are empty if the cause names no part.
    `fault_kinds` are what kinds of fault it was, where that was said; `began` is how its card begins."""

    job: str
    platform: str
    part: str
    kind: str
    cause: str
    fault_kinds: tuple[Kind, ...] = ()
    began: str = ""

    @property
    def beginning(self) -> Beginning:
        return Beginning(self.job, self.began)


def closed_job(platform: Platform, card: JobCard) -> ClosedJob | None:
    """What the card teaches of what draws; None while its cause is not confirmed, or if it was struck, and of a job
    of loads that do not work."""
    if any(entry.dead and entry.struck is None for entry in card.entries):
        return None
    cause = next((e.cause.value for e in reversed(card.entries) if e.cause is not None and e.struck is None), "")
    if not cause.strip():
        return None
    part = part_in(platform, cause)
    number, began = beginning_of(card)
    kind = platform.parts[part].kind if part else ""
    cause = cause.strip()
    return ClosedJob(
        job=number, platform=platform.name, part=part, kind=kind, cause=cause, fault_kinds=kinds_in(cause), began=began,
    )  # fmt: skip


def each_once(jobs: Iterable[ClosedJob]) -> tuple[ClosedJob, ...]:
    """A copied card counts once. Where nothing is known of how a card begins, the same words are the same job."""
    kept: dict[str, list[ClosedJob]] = {}
    for job in jobs:
        before = kept.setdefault(job.platform, [])
        if not any(_is_same(job, one) for one in before):
            before.append(job)
    return tuple(job for its in kept.values() for job in its)


def _is_same(job: ClosedJob, other: ClosedJob) -> bool:
    if not job.job and not other.job and not (job.began and other.began):
        return job.cause == other.cause
    return job.beginning.is_same(other.beginning)


NO_JOB = Beginning()


def experience_for(platform: Platform, jobs: Iterable[ClosedJob], leave_out: Beginning = NO_JOB) -> Experience:
    """What the closed jobs say for a platform; the job `leave_out` (the one being worked on) does not count."""
    same: Counter[str] = Counter()
    others: Counter[str] = Counter()
    fault_kinds: Counter[Kind] = Counter()
    for job in each_once(jobs):
        if job.platform == platform.name and job.beginning.is_same(leave_out):
            continue
        fault_kinds.update(job.fault_kinds)
        if job.platform == platform.name and job.part:
            same[job.part] += 1
        elif job.platform != platform.name and job.kind:
            others[job.kind] += 1
    return Experience(same=dict(same), others=dict(others), fault_kinds=dict(fault_kinds))
