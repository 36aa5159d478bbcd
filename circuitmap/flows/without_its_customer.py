"""A job that may be shown to anybody: the customer is out of every value."""

from dataclasses import replace

from circuitmap.jobs.job import Job, job_on
from circuitmap.jobs.without_customer import without_customer


def without_its_customer(job: Job) -> Job:
    """The job with the customer taken out of every value; a word that only may be the customer is taken out, too."""
    shared = without_customer(job.platform, job.card)
    if shared.doubtful:
        hide = tuple(dict.fromkeys(f"{its.place}:{its.word}" for its in shared.doubtful))
        shared = without_customer(job.platform, job.card, hide=hide)
    if not shared.hidden and not job.problems:
        return replace(job, card=shared.card)  # what the card says of the vehicle is as it was
    return replace(job_on(job.platform, shared.card, (), job.circuit), problems=job.problems)
