"""A job at a glance: the verdict so far, the battery's arithmetic, what to do next."""

from collections.abc import Sequence

from circuitmap.jobs.job import Job, times_of
from circuitmap.reports.battery_text import battery_sentences
from circuitmap.reports.intake_text import claims_lines
from circuitmap.reports.paragraphs import section
from circuitmap.reports.standing_text import Clock, standing_text


def job_text(job: Job, next_steps: Sequence[str] = ()) -> list[str]:
    """`next_steps` are the lines of the diagnosis, when there is one."""
    claims = (e.claim.value for e in job.card.entries if e.claim is not None and e.struck is None)
    return [
        *standing_text(job.platform, job.standing, Clock(times_of(job.card))),
        *section("BATTERY", battery_sentences(job.intake, job.standing.total, job.standing.night)),
        *claims_lines(claims),
        *next_steps,
    ]
