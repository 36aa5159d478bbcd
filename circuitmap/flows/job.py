"""The flow of a job: from a card on the disk to what it amounts to, and from a short line to the card."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.failures import WrongUse
from circuitmap.flows.dead import dead_on
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.card_writing import Fields, with_entry, with_strike
from circuitmap.jobs.entry_time import time_of_entry
from circuitmap.jobs.job import Job, card_source, job_of, job_on, platform_folder, source_of
from circuitmap.jobs.line_so_far import CarOnCard
from circuitmap.jobs.named_log import log_named
from circuitmap.jobs.short_line import ShortLine, entry_of
from circuitmap.saving import update
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.diagnosis.diagnosis import Diagnosis

MEASUREMENTS = (
    "dead", "works", "probed",
    "read", "total", "log", "logged", "looked", "network", "scan", "codes", "relays", "inputs", "volts", "fitted",
    "absent", "stands", "change", "found", "added", "own-battery", "in-slot", "turned",
)  # fmt: skip
"""Fields of an entry that say something about the draw, or about the car it was read on; a remark, a photo or a state
of the vehicle does not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """The job before and after an entry was added, and what was not taken at its word.

    `measured`: the entry is one of `MEASUREMENTS`.
    """

    job: Job
    before: Job
    measured: bool
    understood: tuple[str, ...]


def open_job(card: Path, platform: Path | None = None) -> Job:
    """A card with its platform, which the card names unless it is given."""
    read = read_card(card_source(card))
    return job_on(open_platform(platform or platform_folder(card, *read)), *read)


def job_from(platform: Platform, text: str, name: str) -> Job:
    """A card that is not on the disk yet."""
    return job_of(platform, SourceFile(name, text))


def add_to_card(
    card: Path, line: str, *, at: str = "", meter: str = "", resolution: str = "", steady: bool = False
) -> Added:
    """Add one short line to a card. Nothing is written if the line or the card makes no sense.

    What somebody else wrote meanwhile belongs to `before`: the two differ by this entry alone.
    """
    read = read_card(card_source(card))
    platform = open_platform(platform_folder(card, *read))
    before = job = job_on(platform, *read)
    car = CarOnCard(job.standing.still_out, tuple(p.name for p in job.evidence.added), job.evidence.positions)
    entry = entry_on(job, line, car, card.parent)

    def change(now: bytes | None) -> bytes:
        nonlocal read, before, job
        source = source_of(card, now or b"")
        if source != read[0].source:
            read = read_card(source)
            before = job_on(platform, *read, before.circuit)
        fields: Fields = (
            ("at", time_of_entry(before.card, at, datetime.now(), str(card))),
            *((key, value) for key, value in (("meter", meter), ("resolution", resolution)) if value),
            *entry.fields,
            *((("steady", "yes"),) if steady else ()),
        )
        after = with_entry(read, fields)
        job = job_on(platform, *after, before.circuit)
        no_new_problem(before, job)
        return card_bytes(job.card.source.text, now)

    update(card, change)
    measured = any(key in MEASUREMENTS for key, _ in entry.fields)
    return Added(job=job, before=before, measured=measured, understood=entry.understood)


def entry_on(job: Job, line: str, car: CarOnCard, folder: Path, *, beside_only: bool = False) -> ShortLine:
    """A short line to an entry; a recorder's file that it names is read (`beside_only`: one beside the card alone)."""
    named = log_named(line)
    if named is None:
        return entry_of(job.platform, line, job.hands_off, car)
    from circuitmap.flows.logged_line import entry_of_file

    return entry_of_file(job.platform, named, folder, car.added, beside_only=beside_only)


class NextSteps(NamedTuple):
    """What the readings point to and what to do next, as `lines`; `maker` is what makes the part that was out take its
    current, where that part is not at fault itself."""

    lines: list[str]
    maker: str = ""


def next_steps(job: Job, folders: Iterable[Path] = ()) -> NextSteps:
    """What the readings point to and what to do next; no lines once it is proven, or while nothing was read of
    the sleeping vehicle: whoever works on it now keeps it awake.

    Jobs below `folders` with a confirmed cause count towards the odds.
    """
    its = dead_on(job)
    if its is not None:
        from circuitmap.reports.dead.dead_text import dead_text

        return NextSteps(["", *dead_text(job.platform, its).rstrip().split("\n")])
    stage, in_hand = job.standing.stage, job.standing.in_hand
    if stage in ("proven", "mended", "repaired", "renewed", "no-draw-mended", "no-draw") or not job.evidence.readings:
        return NextSteps([])
    if stage == "not-read" and job.standing.asleep_soon:
        return NextSteps([])
    if job.standing.is_proven_now:
        return NextSteps([])
    from circuitmap.reports.job.made_to_take import part_to_prove
    from circuitmap.reports.suspects.made_to_take import made_to_take_by
    from circuitmap.reports.suspects.suspects_text import suspects_text

    found = diagnosis_now(job, folders)
    lines = ["", *suspects_text(job.platform, found).rstrip().split("\n")]
    return NextSteps(lines, made_to_take_by(found, part_to_prove(in_hand)))


def diagnosis_of(job: Job, folders: Iterable[Path] = ()) -> "Diagnosis":
    """What explains the readings of the vehicle as it came in; what was read after mending does not count."""
    from circuitmap.jobs.since_mending import as_it_came_in

    return _diagnosis(job, as_it_came_in(job.card, job.evidence), folders)


def diagnosis_now(job: Job, folders: Iterable[Path] = ()) -> "Diagnosis":
    """The same of the vehicle as it is: where it still draws although something was mended, by what was read since."""
    from circuitmap.jobs.since_mending import as_it_is_now

    return _diagnosis(job, as_it_is_now(job.platform, job.card, job.evidence, job.standing), folders)


def _diagnosis(job: Job, evidence: Evidence, folders: Iterable[Path]) -> "Diagnosis":
    from circuitmap.diagnosis.diagnose import diagnose
    from circuitmap.flows.shelf import experience_on
    from circuitmap.jobs.earlier import beginning_of

    earlier = experience_on(job.platform, folders, beginning_of(job.card))
    return diagnose(job.circuit, evidence, evidence.options, earlier)


def make_ready() -> None:
    """Load what the first answer needs: a server does it once it is there, while somebody still scans its code."""
    import circuitmap.diagnosis.diagnose
    import circuitmap.reports.bay.answer  # noqa: F401


def strike_on_card(card: Path, number: int, reason: str) -> Job:
    """Strike an entry of a card, counted from 1."""
    read = read_card(card_source(card))
    platform = open_platform(platform_folder(card, *read))
    after = read

    def change(now: bytes | None) -> bytes:
        nonlocal after
        source = source_of(card, now or b"")
        after = with_strike(read if source == read[0].source else read_card(source), number, reason)
        return card_bytes(after[0].source.text, now)

    update(card, change)
    return job_on(platform, *after)


def no_new_problem(before: Job, after: Job) -> None:
    """Refuses an entry that would put nonsense on the card, such as a time that runs backwards."""
    old = Counter((p.code, p.headline) for p in before.problems)
    for problem in after.problems:
        old[problem.code, problem.headline] -= 1
        if old[problem.code, problem.headline] < 0:
            raise WrongUse(f"Not added: {problem.headline}", problem.advice)


def card_bytes(text: str, now: bytes | None) -> bytes:
    """UTF-8, with a byte order mark if the card had one."""
    mark = b"\xef\xbb\xbf" if (now or b"").startswith(b"\xef\xbb\xbf") else b""
    return mark + text.encode("utf-8")
