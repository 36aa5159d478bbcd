"""The flow of the shop's shelf: platforms and jobs under a folder, and what earlier jobs found."""

from dataclasses import dataclass
from pathlib import Path

from circuitmap.failures import CannotRead
from circuitmap.jobs.earlier import ClosedJob, closed_job, each_once
from circuitmap.library.entry import Entry, entry_of_job, entry_of_platform
from circuitmap.library.finding import Found, find
from circuitmap.library.index import entries_of, usual_index_folder
from circuitmap.library.shelf import Shelf, Shelved, shelf_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Library:
    """What was found under a folder, and the files that were passed over."""

    root: Path
    found: tuple[Found, ...]
    shelf: Shelf


def open_library(root: Path, words: str = "") -> Library:
    """Everything under `root`, or what has all of `words` in it."""
    shelf = shelf_of(root)
    entries = entries_of(shelf, root, lambda item: read_entry(root, item), usual_index_folder())
    kept = tuple(entry for entry in entries if not (entry.kind == "job" and entry.trouble == NOT_A_CARD))
    return Library(root=root, found=find(kept, words), shelf=shelf)


NOT_A_CARD = "not a job card"


def read_entry(root: Path, item: Shelved) -> Entry:
    """Read one thing on the shelf. A YAML file that is no job card is not a trouble of anybody's."""
    from circuitmap.evidence.job_card import read_card
    from circuitmap.jobs.job import card_source
    from circuitmap.workbench import open_platform

    if item.kind == "platform":
        return entry_of_platform(item.path, open_platform(root / item.path))
    source = card_source(root / item.path)
    card, problems = read_card(source)
    if not card.intake and not card.entries:
        return Entry("job", item.path, item.path, "", trouble=NOT_A_CARD)
    if problems:
        first = problems[0]
        raise CannotRead(f"{first.span.place()}: {first.headline}")
    return entry_of_job(item.path, card)


def closed_jobs(root: Path) -> tuple[ClosedJob, ...]:
    """The jobs under a folder whose cause is confirmed, each once; what cannot be read teaches nothing."""
    from circuitmap.evidence.job_card import read_card
    from circuitmap.failures import Failure
    from circuitmap.jobs.job import card_source, platform_folder
    from circuitmap.wiring.platform import Platform
    from circuitmap.workbench import open_platform

    platforms: dict[Path, Platform] = {}
    jobs: list[ClosedJob] = []
    for item in shelf_of(root).items:
        if item.kind != "job":
            continue
        path = root / item.path
        try:
            source = card_source(path)
            if b"cause" not in source.text.encode("utf-8"):
                continue
            card, _ = read_card(source)
            folder = platform_folder(path, source)
            if folder not in platforms:
                platforms[folder] = open_platform(folder)
            job = closed_job(platforms[folder], card)
        except Failure:
            continue
        if job is not None:
            jobs.append(job)
    return each_once(jobs)
