"""What was tried and is sound, for the customer: what was suspected and need not be renewed."""

from collections.abc import Iterator

from circuitmap.jobs.job import Job
from circuitmap.reports.pages.customer_words import plain_part
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Fuse, Joint


def sound_parts(job: Job) -> tuple[str, ...]:
    """What took no part in the draw when it was tried, or no more than its own share, and nothing that was found at
    fault or is still in question, nor a plug, which is where a wire is."""
    standing = job.standing
    tries = (*standing.tries, *standing.tries_since)
    found = standing.found.names if standing.found is not None else ()
    blamed = {name for one in tries if one.verdict not in ("cleared", "own-share") for name in one.out}
    tried = [name for one in tries if one.verdict in ("cleared", "own-share") and not one.turned for name in one.out]
    its = [name for name in tried if name not in blamed and name not in found]
    return tuple(dict.fromkeys(name for name in its if not isinstance(job.platform.parts.get(name), Joint)))


def sound_sentences(job: Job) -> Iterator[str]:
    """`We also tried the locking controller (LOCK): the fault is not there.` A fuse stands for what hangs on it."""
    names = sound_parts(job)
    if names:
        said = [_words(job, name) for name in names]
        yield f"We also tried {joined(said)}: the fault is not there."


def _words(job: Job, name: str) -> str:
    its = plain_part(job.platform, name)
    return f"what hangs on {its}" if isinstance(job.platform.parts.get(name), Fuse) else its
