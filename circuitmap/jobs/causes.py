"""What a card gives as the cause of each thing that was mended: everything written since the thing mended before it."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitmap.diagnosis.faults.kind_said import without_kinds
from circuitmap.evidence.job_card import Entry
from circuitmap.jobs.named_in_words import names_in
from circuitmap.wiring.platform import Platform


class Cause(NamedTuple):
    """`entry` is the one that says what was mended; None for causes below the last of these. `words` are all causes of
    it, the later after the earlier, as they were written but for the kinds of the earlier; empty: none was written."""

    entry: Entry | None
    words: str


def causes_on(platform: Platform, live: Iterable[Entry]) -> tuple[Cause, ...]:
    """The cause of each thing mended, in their order, and at the end of what is not mended yet. Where none was written
    since the thing mended before, that one's cause is told again."""
    return tuple(_causes(platform, live))


def _causes(platform: Platform, live: Iterable[Entry]) -> Iterator[Cause]:
    written: list[str] = []
    before = ""
    for entry in live:
        if entry.cause is not None:
            written.append(entry.cause.value.strip())
        if entry.mended is not None:
            before = "; ".join(_each_once(platform, written)) or before
            yield Cause(entry, before)
            written = []
    yield Cause(None, "; ".join(_each_once(platform, written)) or before)


def _each_once(platform: Platform, written: list[str]) -> Iterator[str]:
    """A cause whose names the next one tells again was put in other words."""
    for n, words in enumerate(written):
        later = [set(names_in(platform, its, ())) for its in written[n + 1 :]]
        names = set(names_in(platform, words, ()))
        again = any(names <= its for its in later) if names else words in written[n + 1 :]
        if words and not again:
            yield without_kinds(words).rstrip(".;, ") if later else words
