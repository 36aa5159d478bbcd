"""The report of a job as values: one page for the customer, then the record for the technician.

The customer's page says what the owner reported, what was found, why, and how it is known, in that order, in amperes
and days. Customer data is only on the shop's own report; what is shared is made from a card without it
(`jobs/without_customer.py`).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from circuitmap.evidence.job_card import Entry
from circuitmap.jobs.job import Job
from circuitmap.jobs.of_the_found import of_the_found
from circuitmap.reports.job.card_text import entry_words
from circuitmap.reports.job.claims import claims_on
from circuitmap.reports.job.clock import clock_of
from circuitmap.reports.job.dead_told_text import (
    checked_sentences,
    dead_because,
    dead_headline,
    dead_since_sentences,
    is_about_dead_loads,
    is_put_right,
)
from circuitmap.reports.job.early_words import early_words
from circuitmap.reports.job.in_use_words import looked_at_words
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.reports.job.mended_text import because_sentences, mended_well_sentences, taken_in_sentences
from circuitmap.reports.job.no_draw_cause_text import is_habit
from circuitmap.reports.job.standing_text import (
    code_sentences,
    for_proof,
    headline,
    left_sentence,
    told_with_the_cause,
)
from circuitmap.reports.job.tried_text import needs_nothing, try_sentence
from circuitmap.reports.pages.before_after import TwoFigures, figures_of
from circuitmap.reports.pages.customer_words import customer_headline, plain_figures, plain_out, plain_part
from circuitmap.reports.pages.found_sound import sound_sentences
from circuitmap.reports.pages.report_found import causes_told, found_sentences, is_proven, is_quiet_mended
from circuitmap.reports.problems.not_read import not_complete_sentences, not_read_sentences
from circuitmap.reports.words.cautions_of_the_job import FOR_THE_JOB
from circuitmap.reports.words.limit_words import ampere_words, hours_words, is_fine
from circuitmap.reports.words.paragraphs import joined


@dataclass(frozen=True, slots=True)
class ReportSection:
    """A heading and what stands under it, a sentence or a list item each."""

    heading: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """One place before and after, in A, for the chart; None: no current is known. `fine`: read in milliamperes."""

    place: str
    before: float | None
    after: float | None
    fine: bool = False

    @property
    def words(self) -> tuple[str, str]:
        """Both figures, as they stand on the rest of the page."""
        return ampere_words(self.before, self.fine), ampere_words(self.after, self.fine)


@dataclass(frozen=True, slots=True)
class RecordRow:
    number: int
    at: str
    says: str
    struck: str


@dataclass(frozen=True, slots=True)
class ReportPhoto:
    """The photo of an entry by its number: a JPEG, or `why` it is not shown."""

    number: int
    content: bytes
    why: str = ""


@dataclass(frozen=True, slots=True)
class ReportNight:
    """The night's log of an entry by its number: its file, what the numbers in the picture stand for,
    the picture as SVG and as PNG, or `why` it is not drawn."""

    number: int
    file: str
    words: tuple[str, ...] = ()
    svg: str = ""
    png: bytes = b""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """`figures` are the proof, two of each battery; `drawing` is an SVG, `drawing_words` what it shows.
    `not_complete` stands beside the verdict: parts of what the report rests on could not be read."""

    title: str
    vehicle: str
    job: str
    verdict: str
    repaired: bool = False
    not_complete: tuple[str, ...] = ()
    customer: tuple[ReportSection, ...]
    figures: tuple[TwoFigures, ...] = ()
    bars: tuple[Bar, ...] = ()
    limit: float = 0.0
    record: tuple[ReportSection, ...] = ()
    rows: tuple[RecordRow, ...] = ()
    drawing: str = ""
    drawing_words: str = ""
    photos: tuple[ReportPhoto, ...] = ()
    nights: tuple[ReportNight, ...] = ()


def report_of(
    job: Job,
    *,
    balance: Sequence[str] = (),
    not_known: Sequence[str] = (),
    going: Mapping[str, str] = MappingProxyType({}),
    drawing: str = "",
    drawing_words: str = "",
    photos: Sequence[ReportPhoto] = (),
    nights: Sequence[ReportNight] = (),
) -> Report:
    """Put the report together. `balance` is the diagnosis' own account, `not_known` what it rests on,
    `going` what by it ran, burned or stayed awake because of what is proven.

    It holds what the card holds: a report that is to leave the shop is made from a card without the customer.
    """
    leading = job.standing.leading
    bars = tuple(
        Bar(f"{c.place}, {joined(one.out)}" if one is not leading else c.place, c.before, c.after, is_fine(one.after))
        for one in ((leading, *of_the_found(job.standing)) if leading is not None else ())
        for c in one.changes
    )
    intake = job.card.intake
    about_dead = is_about_dead_loads(job)
    asked = "what does not work" if about_dead else "why it goes flat"
    vehicle = intake["vehicle"].value if "vehicle" in intake else job.platform.name
    return Report(
        title=f"{vehicle}: {asked}", vehicle=vehicle,
        job=intake["job"].value if "job" in intake else "",
        verdict=customer_headline(job), repaired=is_put_right(job) if about_dead else job.standing.stage == "repaired",
        not_complete=tuple(not_complete_sentences(job.platform, job.problems)),
        customer=tuple(s for s in _customer_page(job, not_known, going) if s.sentences),
        figures=tuple(figures_of(job)), bars=bars, limit=job.standing.limit,
        record=tuple(s for s in _record(job, balance, not_known) if s.sentences),
        rows=tuple(_row(number, entry) for number, entry in enumerate(job.card.entries, 1)),
        drawing=drawing, drawing_words=drawing_words, photos=tuple(photos),
        nights=tuple(nights),
    )  # fmt: skip


def _customer_page(job: Job, not_known: Sequence[str], going: Mapping[str, str]) -> Iterator[ReportSection]:
    yield ReportSection("You told us", tuple(_told(job)))
    yield ReportSection("We found", tuple(found_sentences(job, going)))
    yield ReportSection("Why", causes_told(job))
    yield ReportSection("How we know", tuple(_how_we_know(job)))
    habit = is_habit(job.standing)
    done = tuple(f"Done: {text}" for text in _said(job, "mended"))
    yield ReportSection("To mend" if not habit else "Done", _said(job, "to_mend") + done)
    closed = job.standing.stage in ("repaired", "renewed", "no-draw-mended")
    if habit:
        yield ReportSection("So that it does not come back", (*_said(job, "until_then"), _GOES_ON))
    else:
        yield ReportSection("Until then", () if closed else _said(job, "until_then"))
    if not is_about_dead_loads(job):
        yield ReportSection("Battery", tuple(battery_lines(job, used=not habit)))
    yield ReportSection("Not checked", tuple(_not_checked(job, not_known)))
    yield ReportSection("We put back", tuple(_put_back(job)))


_GOES_ON = "Nothing was repaired, because nothing is at fault: it goes on if it is used so."


def _told(job: Job) -> Iterator[str]:
    words = {
        "complaint": "{}", "since": "Since {}.", "flat-after": "It goes flat after {}.",
        "done-before": "Done just before: {}.", "happens-when": "It happens: {}.", "odometer": "Odometer {}.",
        "customer": "Customer: {}.", "phone": "Telephone: {}.",
    }  # fmt: skip
    for key, form in words.items():
        text = job.card.intake.get(key)
        if text is not None:
            yield form.format(text.value.rstrip(".") if form.endswith("}.") else text.value)
    for claim in claims_on(job):
        cleared = [plain_out(job.platform, one) for one in claim.tried if one.verdict == "cleared"]
        measured = [f"we measured: {joined(claim.read)}"] if claim.read else []
        measured += [claim.too_much] if claim.too_much else []
        if claim.cause:
            begins = "" if measured else "it was not that: "
            measured.append(f"{begins}it was {joined([plain_part(job.platform, name) for name in claim.cause])}")
        said = "; ".join(measured) or f"we did not measure this{f': {claim.wanted}' if claim.wanted else ''}"
        said = "we tried it: see below" if claim.tried else said
        said = f"we tried it: it is not {joined(cleared, 'or')}" if cleared else said
        said = "we tried it: it is not at fault" if claim.cause and claim.tried else said
        yield f"Others say: {claim.words} ({said})."


def _how_we_know(job: Job) -> Iterator[str]:
    leading = job.standing.leading
    if leading is not None:
        put_back = " and put it back" if leading.back is not None else ""
        did = "turned the switch" if leading.turned else f"took it out{put_back}"
        yield f"We {did}, and read {plain_figures(job.platform, leading)}."
        for one in of_the_found(job.standing):
            did = f"{plain_out(job.platform, one)} out{' and put it back' if one.back is not None else ''}"
            yield f"We took {did}, and read {plain_figures(job.platform, one)}."
        if any(test.what == "inputs" for test in leading.failed):
            yield "It is told to be on when it should not be: what tells it is at fault, not the part itself."
        elif leading.verdict != "proven" and not is_proven(job) and not is_quiet_mended(job, leading):
            yield "This is not proven yet: see what is still to be done in the record."
    yield from sound_sentences(job)
    night = job.standing.night
    if night is not None and night.log is not None:
        yield (
            f"After mending we let it stand for {hours_words(night.log.duration or 0)}: "
            f"{ampere_words(night.log.mean, is_fine(night))} "
            "on average."
        )


def _not_checked(job: Job, not_known: Sequence[str]) -> Iterator[str]:
    if not_known:
        many = f"{len(not_known)} of them" if len(not_known) > 1 else "one"
        yield f"What could not be read, or is not on the drawings: the record lists {many}."
    if is_about_dead_loads(job):
        if job.dead.mended and job.dead.unseen:
            yield f"Not switched on since it was mended: {joined(job.dead.unseen)}."
        return
    if (
        job.standing.mended
        and job.standing.night is None
        and job.standing.battery_job is None
        and job.standing.no_draw_cause is None
    ):
        if job.standing.still_out and any(one.log is not None for one in job.standing.read_without):
            out = joined([plain_part(job.platform, name) for name in job.standing.still_out])
            yield f"A night's log is there, but with {out} still out, by the card: with it in it is not shown yet."
        else:
            yield "No night's log yet: it is mended, not yet shown to be repaired."
    if not job.intake.battery.charge and job.standing.stage != "no-draw":
        yield "The battery's volts at rest were not written down."


def _put_back(job: Job) -> Iterator[str]:
    standing = job.standing
    if standing.put_back:
        yield f"Back in: {joined([plain_part(job.platform, name) for name in standing.put_back])}."
    if standing.taken_in:
        its = joined([plain_part(job.platform, name) for name in standing.taken_in])
        yield f"In again with its mending, as we take it: {its}."
    if standing.taken_away:
        yield f"Taken away for good: {joined([plain_part(job.platform, name) for name in standing.taken_away])}."
    if standing.still_out:
        yield f"STILL OUT, by the card: {joined([plain_part(job.platform, name) for name in standing.still_out])}."


def _record(job: Job, balance: Sequence[str], not_known: Sequence[str]) -> Iterator[ReportSection]:
    clock = clock_of(job)
    standing = job.standing
    verdict = () if is_about_dead_loads(job) else (headline(job.platform, standing),)
    about_dead = job.dead.stage or job.blown.stage
    checked = (*checked_sentences(job), *dead_since_sentences(job))
    dead = (dead_headline(job), *dead_because(job)) if about_dead else checked
    yield ReportSection("Verdict", (*verdict, *taken_in_sentences(job.platform, standing), *dead))
    yield ReportSection("Not read", tuple(not_read_sentences(job.problems)))
    mended = standing.mended and not is_about_dead_loads(job)
    if mended and standing.stage != "not-repaired":
        yield ReportSection("What bears it out", tuple(because_sentences(job.platform, standing)))
    yield ReportSection("Mended before", tuple(mended_well_sentences(job.platform, standing)))
    told = told_with_the_cause(standing) if mended else ()
    tries = [one for one in (*standing.tries, *standing.tries_since) if one not in told]
    words = (try_sentence(job.platform, one, clock, needs_nothing(standing, one)) for one in tries)
    yield ReportSection("Tries", tuple(words))
    leading = standing.in_hand if standing.mended else standing.leading
    if leading is not None:
        yield ReportSection("What is left", (left_sentence(leading, standing),))
        yield ReportSection("Still needed for proof", for_proof(job.platform, standing))
    yield ReportSection("What the readings say", tuple(balance))
    yield ReportSection("Codes", tuple(code_sentences(standing.codes)))
    yield ReportSection("Read too early, or woken", tuple(early_words(r for r in standing.early if not r.in_use)))
    yield ReportSection("Read with the key on: in use, no draw", tuple(looked_at_words(standing.in_use)))
    yield ReportSection("Not known", tuple(not_known))
    yield ReportSection("Cautions", FOR_THE_JOB)


def _row(number: int, entry: Entry) -> RecordRow:
    return RecordRow(
        number=number, at=entry.at.value if entry.at is not None else "", says=entry_words(entry),
        struck=entry.struck.value if entry.struck is not None else "",
    )  # fmt: skip


def _said(job: Job, field: str) -> tuple[str, ...]:
    found = (getattr(entry, field) for entry in _live(job))
    texts = [text.value for text in found if text is not None]
    return tuple(texts)


def _live(job: Job) -> Iterator[Entry]:
    return (entry for entry in job.card.entries if entry.struck is None)
