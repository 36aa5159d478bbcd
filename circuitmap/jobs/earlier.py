"""The shop's closed jobs: what each one found, counted once, for the next diagnosis."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.faults.kind_said import kind_in
from circuitmap.diagnosis.seen.experience import Experience, part_in
from circuitmap.evidence.job_card import JobCard
from circuitmap.wiring.platform import Platform


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedJob:
    """A job with a confirmed cause. `kind` is that of the part; both are empty if the cause names no part. `fault_kind`
    is what kind of fault it was, where that was said."""

    job: str
    platform: str
    part: str
    kind: str
    cause: str
    fault_kind: Kind | None = None


def closed_job(platform: Platform, card: JobCard) -> ClosedJob | None:
    """What the card teaches of what draws; None while its cause is not confirmed, or if it was struck, and of a job
    of loads that do not work."""
    if any(entry.dead and entry.struck is None for entry in card.entries):
        return None
    cause = next((e.cause.value for e in reversed(card.entries) if e.cause is not None and e.struck is None), "")
    if not cause.strip():
        return None
    part = part_in(platform, cause)
    job = card.intake["job"].value if "job" in card.intake else ""
    kind = platform.parts[part].kind if part else ""
    cause = cause.strip()
    return ClosedJob(
        job=job, platform=platform.name, part=part, kind=kind, cause=cause, fault_kind=kind_in(cause)
    )  # fmt: skip


def each_once(jobs: Iterable[ClosedJob]) -> tuple[ClosedJob, ...]:
    """A copied card counts once: the same job number on the same platform or, without a number, the same words."""
    known: dict[tuple[str, str, str], ClosedJob] = {}
    for job in jobs:
        known.setdefault((job.platform, job.job, "" if job.job else job.cause), job)
    return tuple(known.values())


def experience_for(platform: Platform, jobs: Iterable[ClosedJob], leave_out: str = "") -> Experience:
    """What the closed jobs say for a platform; the job `leave_out` (the one being worked on) does not count."""
    same: Counter[str] = Counter()
    others: Counter[str] = Counter()
    fault_kinds: Counter[Kind] = Counter()
    for job in each_once(jobs):
        if job.platform == platform.name and job.job and job.job == leave_out:
            continue
        if job.fault_kind is not None:
            fault_kinds[job.fault_kind] += 1
        if job.platform == platform.name and job.part:
            same[job.part] += 1
        elif job.platform != platform.name and job.kind:
            others[job.kind] += 1
    return Experience(same=dict(same), others=dict(others), fault_kinds=dict(fault_kinds))
