"""Photos beside a card: one is written before its entry, stays there, and stands in the report. Nothing deletes one."""

from collections.abc import Iterator
from pathlib import Path

from circuitmap.evidence.job_card import JobCard
from circuitmap.failures import CannotRead, Failure, WrongUse
from circuitmap.flows.kept_beside import checked_id, keep_beside
from circuitmap.jobs.card_in_time import is_id
from circuitmap.jobs.photo import LARGEST_PHOTO, photo_name, photo_of
from circuitmap.plain_files import read_plain
from circuitmap.reports.pages.report import ReportPhoto

MOST_IN_A_REPORT = 40
"""Photos that are shown in a report; how many more there are is said."""


def keep_photo(card: Path, its_id: str, content: bytes) -> None:
    """Write a photo beside its card, without what the camera wrote into it. The same one sent twice is written once.
    Raises WrongUse, LimitReached for what is no photo or too large, CannotWrite."""
    name = photo_name(checked_id(its_id, "An entry's"))
    kept = photo_of(content).content
    keep_beside(card, name, kept, LARGEST_PHOTO, "Another photo has this id already: take it again.")


def is_photo_there(card: Path, its_id: str) -> bool:
    """Whether the photo of an entry lies beside the card."""
    return is_id(its_id) and (card.parent / photo_name(its_id)).is_file()


def photo_beside(card: Path, name: str) -> bytes:
    """A photo that an entry names, checked before anybody is shown it. Raises a Failure with the reason."""
    if not name or name != Path(name).name or "\\" in name or name.startswith("."):
        raise WrongUse("The photo does not lie beside the card.")
    try:
        content = read_plain(card.parent / name, LARGEST_PHOTO, follow=False).content
    except OSError as error:
        missing = isinstance(error, FileNotFoundError)
        raise CannotRead("The file is not there." if missing else "The file cannot be read.") from None
    return photo_of(content).content


def photos_of(card: Path, read: JobCard) -> Iterator[ReportPhoto]:
    """The photos of the entries that count, for the report; one that cannot be shown says why."""
    shown = 0
    for number, entry in enumerate(read.entries, 1):
        if entry.photo is None or entry.struck is not None:
            continue
        if shown == MOST_IN_A_REPORT:
            yield ReportPhoto(number, b"", f"This and further photos are not shown: {MOST_IN_A_REPORT} are the most.")
            return
        try:
            yield ReportPhoto(number, photo_beside(card, entry.photo.value))
            shown += 1
        except Failure as failure:
            yield ReportPhoto(number, b"", f"The photo is not shown: {failure.message}")


def photo_of_entry(card: Path, read: JobCard, its_id: str) -> bytes:
    """The photo of the entry that a device calls so. Raises CannotRead where there is none."""
    entry = next((one for one in read.entries if one.id is not None and one.id.value == its_id), None)
    if entry is None or entry.photo is None:
        raise CannotRead("There is no photo to this entry.")
    return photo_beside(card, entry.photo.value)
