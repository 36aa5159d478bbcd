"""The flow of the shop's shelf: platforms and jobs under a folder, and what earlier jobs found."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from circuitmap.cache import cache_folder
from circuitmap.failures import CannotRead, Failure
from circuitmap.jobs.earlier import NO_JOB, Beginning, ClosedJob, closed_job, each_once
from circuitmap.plain_files import real_path
from circuitmap.shelf.entry import ShelfEntry, entry_of_job, entry_of_platform
from circuitmap.shelf.finding import ShelfMatch, find
from circuitmap.shelf.index import entries_of
from circuitmap.shelf.shelved import Shelf, Shelved, shelf_of
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.diagnosis.seen.experience import Experience


@dataclass(frozen=True, slots=True, kw_only=True)
class Library:
    """What was found under a folder, and the files that were passed over."""

    root: Path
    found: tuple[ShelfMatch, ...]
    shelf: Shelf


def open_library(root: Path, words: str = "") -> Library:
    """Everything under `root`, or only what has all of `words` in it."""
    shelf = shelf_of(root)
    entries = entries_of(shelf, root, lambda item: read_entry(root, item), cache_folder())
    kept = tuple(entry for entry in entries if not (entry.kind == "job" and entry.trouble == NOT_A_CARD))
    return Library(root=root, found=find(kept, words), shelf=shelf)


NOT_A_CARD = "not a job card"


def read_entry(root: Path, item: Shelved) -> ShelfEntry:
    """Read one thing on the shelf. A YAML file that is not a job card is nobody's concern."""
    from circuitmap.evidence.job_card import read_card
    from circuitmap.flows.questions import open_platform
    from circuitmap.jobs.job import card_source

    if item.kind == "platform":
        return entry_of_platform(item.path, open_platform(root / item.path))
    source = card_source(root / item.path)
    card, problems = read_card(source)
    if not card.intake and not card.entries:
        return ShelfEntry("job", item.path, item.path, "", trouble=NOT_A_CARD)
    if problems:
        first = problems[0]
        raise CannotRead(f"{first.span.place()}: {first.headline}")
    return entry_of_job(item.path, card)


def closed_jobs(folders: Iterable[Path]) -> tuple[ClosedJob, ...]:
    """The jobs in these folders and below whose cause is confirmed, each once; what cannot be read teaches nothing."""
    platforms: dict[Path, Platform] = {}
    jobs: list[ClosedJob] = []
    for path in dict.fromkeys(real_path(path) for folder in folders for path in _cards_below(folder)):
        try:
            job = _closed_job(path, platforms)
        except Failure:
            continue
        if job is not None:
            jobs.append(job)
    return each_once(jobs)


def experience_on(platform: Platform, folders: Iterable[Path], leave_out: Beginning = NO_JOB) -> "Experience":
    """What the shop's earlier jobs say for this platform; the job `leave_out` is the one being worked on."""
    from circuitmap.jobs.earlier import experience_for

    return experience_for(platform, closed_jobs(folders), leave_out)


def _cards_below(folder: Path) -> list[Path]:
    return [folder / item.path for item in shelf_of(folder).items if item.kind == "job"]


def _closed_job(path: Path, platforms: dict[Path, Platform]) -> ClosedJob | None:
    from circuitmap.evidence.job_card import read_card
    from circuitmap.flows.questions import open_platform
    from circuitmap.jobs.job import card_source, platform_folder

    source = card_source(path)
    if "cause" not in source.text:
        return None
    card, problems = read_card(source)
    folder = platform_folder(path, card, problems)
    if folder not in platforms:
        platforms[folder] = open_platform(folder)
    return closed_job(platforms[folder], card)
