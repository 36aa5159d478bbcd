"""What a phone sent, as an entry on its card: kept, known already, or refused with the reason."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from circuitmap.evidence.job_card import ReadCard
from circuitmap.failures import Failure, WrongUse
from circuitmap.flows.job import entry_on, no_new_problem
from circuitmap.flows.sent import Delivered, Sent
from circuitmap.jobs.card_in_time import Sender, entry_with_id, with_entry_in_time
from circuitmap.jobs.card_writing import Fields
from circuitmap.jobs.job import Job, job_on
from circuitmap.jobs.line_so_far import CarOnCard
from circuitmap.jobs.photo import photo_name
from circuitmap.jobs.short_line import ShortLine, entry_of

OLDEST = timedelta(days=7)
"""An entry that a phone says is older came from a clock that is wrong (judgement): it is refused, not moved."""


def typed_at(at_ms: int, sent_ms: int, now: datetime) -> datetime:
    """When something was typed, by the clock of this machine; to the second, as the card has it."""
    return (now - timedelta(milliseconds=max(0, sent_ms - at_ms))).replace(microsecond=0)


def delivered(
    job: Job, read: ReadCard, by: str, sent: Sent, at: datetime, now: datetime, folder: Path
) -> tuple[Delivered, Job, ReadCard]:
    """One entry onto the card in memory; where it is refused, card and job are as before. A recorder's file that it
    names lies in `folder`, beside the card."""
    if entry_with_id(read[0], sent.id) is not None:
        return Delivered(sent.id, "known"), job, read
    try:
        if now - at > OLDEST:
            raise WrongUse(f"It was typed more than {OLDEST.days} days ago by this phone: is its clock right?")
        alone = sent.photo and not sent.line.strip()
        line = ShortLine((), ()) if alone else entry_on(job, sent.line, car_on(job), folder, beside_only=True)
        fields: Fields = (
            *((key, value) for key, value in (("meter", sent.meter), ("resolution", sent.resolution)) if value),
            *line.fields,
            *((("steady", "yes"),) if sent.steady else ()),
            *((("photo", photo_name(sent.id)),) if sent.photo else ()),
        )
        after = with_entry_in_time(read, Sender(by, sent.id, at), fields)
        new = job_on(job.platform, *after, job.circuit)
        no_new_problem(job, new)
    except Failure as failure:
        return Delivered(sent.id, "refused", " ".join(filter(None, (failure.message, failure.advice)))), job, read
    return Delivered(sent.id, "kept", understood=line.understood), new, after


def car_on(job: Job) -> CarOnCard:
    """How the car stands by its card: what is out, what was added, how the main switches stand."""
    added = tuple(part.name for part in job.evidence.added)
    return CarOnCard(job.standing.still_out, added, job.evidence.positions, job.circuit)


def reader_of(job: Job) -> Callable[[str], bool]:
    """Whether a short line can be read against a card as it stands."""

    def reads(line: str) -> bool:
        try:
            entry_of(job.platform, line, job.hands_off, car_on(job))
        except Failure:
            return False
        return True

    return reads
