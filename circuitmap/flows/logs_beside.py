"""Recorder's files that come from a phone: each is written beside its card under a name of its own, and stays there."""

from pathlib import Path

from circuitmap.failures import LimitReached, WrongUse
from circuitmap.jobs.card_in_time import is_id
from circuitmap.saving import read_content, save

LARGEST_LOG = 20_000_000
"""Bytes that a phone may send: a night at ten samples a second has some 12,000,000 (judgement). A larger one is copied
into the folder of the job by hand."""


def log_name(its_id: str) -> str:
    """The name of the file beside the card: that on the phone may be the customer's."""
    return f"log-{its_id}.csv"


def keep_log(card: Path, its_id: str, content: bytes) -> str:
    """Write a recorder's file beside its card and tell its name. The same one sent twice is written once. Raises
    WrongUse, LimitReached, CannotWrite."""
    if not is_id(its_id):
        raise WrongUse("A log's id is 12 to 40 of the letters a to z and the digits.")
    if not content:
        raise WrongUse("The file is empty.")
    if len(content) > LARGEST_LOG:
        raise LimitReached(f"A log has at most {LARGEST_LOG:,} bytes.", "Copy it into the folder of the job.")
    place = card.parent / log_name(its_id)
    there = read_content(place, LARGEST_LOG)
    if there is None:
        save(place, content, based_on=None)
    elif there != content:
        raise WrongUse("Another log has this id already: choose the file again.")
    return place.name
