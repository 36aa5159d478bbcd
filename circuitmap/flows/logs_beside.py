"""Recorder's files that come from a phone: each is written beside its card under a name of its own, and stays there."""

from pathlib import Path

from circuitmap.failures import LimitReached, WrongUse
from circuitmap.flows.kept_beside import checked_id, keep_beside

LARGEST_LOG = 20_000_000
"""Bytes that a phone may send: a night at ten samples a second has some 12,000,000 (judgement). A larger one is copied
into the folder of the job by hand."""


def log_name(its_id: str) -> str:
    """The name of the file beside the card: that on the phone may be the customer's."""
    return f"log-{its_id}.csv"


def keep_log(card: Path, its_id: str, content: bytes) -> str:
    """Write a recorder's file beside its card and tell its name. The same one sent twice is written once. Raises
    WrongUse, LimitReached, CannotWrite."""
    name = log_name(checked_id(its_id, "A log's"))
    if not content:
        raise WrongUse("The file is empty.")
    if len(content) > LARGEST_LOG:
        raise LimitReached(f"A log has at most {LARGEST_LOG:,} bytes.", "Copy it into the folder of the job.")
    return keep_beside(card, name, content, LARGEST_LOG, "Another log has this id already: choose the file again.")
