"""One tap ahead: the outcomes that an answer offers, and the job as it would be after one of them."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from circuitmap.evidence.job_card import ReadCard
from circuitmap.failures import Failure
from circuitmap.flows.delivering import car_on
from circuitmap.flows.without_its_customer import without_its_customer
from circuitmap.jobs.card_in_time import Sender, with_entry_in_time
from circuitmap.jobs.job import Job, job_on
from circuitmap.jobs.short_line import entry_of
from circuitmap.wiring.usual import sleep_of


def taps_of(answer: Mapping[str, Any]) -> Iterator[tuple[str, Sequence[str]]]:
    """Each outcome that is one tap, by its key, and the lines that it writes."""
    for step in answer["steps"]:
        yield from ((outcome["key"], outcome["lines"]) for outcome in step["outcomes"] if outcome["lines"])
    out = answer["out"]
    if out is not None and out["asked"]:
        yield from ((f"out.{outcome['line']}", (outcome["line"],)) for outcome in out["outcomes"])


def if_so(job: Job, read: ReadCard, lines: Sequence[str]) -> Job | None:
    """The job, without its customer, if these lines were added, each once the car has settled after the one before."""
    at = datetime.now()
    for number, line in enumerate(lines):
        try:
            fields = entry_of(job.platform, line, job.hands_off, car_on(job)).fields
            read = with_entry_in_time(read, Sender("", f"ahead{number:08d}", at), fields)
        except Failure:
            return None
        job = job_on(job.platform, *read, job.circuit)
        at += timedelta(minutes=sleep_of(job.platform).high + 1.0)
    return without_its_customer(job)
