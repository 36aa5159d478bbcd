"""The nights on a card as pictures for its report, drawn from the files that were read, if these still lie there."""

from collections.abc import Iterator
from pathlib import Path

from circuitmap.drawings.files.png import png_of
from circuitmap.drawings.files.svg import svg_of
from circuitmap.evidence.job_card import Entry, JobCard
from circuitmap.failures import Failure, WrongUse
from circuitmap.flows.logged import night_drawn, night_words, open_log, told_by_words, zeros_of
from circuitmap.flows.logged_line import checksum_of
from circuitmap.jobs.job import Job
from circuitmap.jobs.named_log import answers_in
from circuitmap.reports.pages.report import ReportNight

MOST_NIGHTS = 6
"""Nights that are drawn in a report; how many more there are is said."""


def nights_of(card: Path, job: Job, shown: JobCard | None = None) -> Iterator[ReportNight]:
    """The night of each entry that counts; one that cannot be drawn says why. `shown` is the card as it is shown, where
    that is without the customer, whose name a file may bear."""
    drawn = 0
    for number, entry in enumerate(job.card.entries, 1):
        if not entry.logged or entry.struck is not None:
            continue
        said = _said(entry)
        called = _said(shown.entries[number - 1] if shown is not None else entry).get("file", "")
        if drawn == MOST_NIGHTS:
            yield ReportNight(number, "", why=f"This and further nights are not drawn: {MOST_NIGHTS} are the most.")
            return
        drawn += 1
        try:
            yield _drawn(number, card.parent, called, said)
        except Failure as failure:
            why = failure.message if called == said.get("file", "") else "its file cannot be read."
            yield ReportNight(number, called, why=f"The night is not drawn: {why}")


def _said(entry: Entry) -> dict[str, str]:
    return {pair.name.value: pair.value.value for pair in entry.logged}


def _drawn(number: int, folder: Path, called: str, said: dict[str, str]) -> ReportNight:
    file = said.get("file", "")
    path = folder / file
    if not file or Path(file).is_absolute() or not path.is_file():
        raise WrongUse(f"{file or 'its file'} does not lie beside the card.")
    if checksum_of(path) != said.get("sum", ""):
        raise WrongUse(f"{file} beside the card is not the file that was read then.")
    answers = answers_in(said.get("told", ""))
    log = open_log(path, told_by_words(answers), zeros_of(answers.get("zero", "")))
    picture = night_drawn(called, log)
    return ReportNight(number, called, night_words(called, log), svg_of(picture), png_of(picture))
