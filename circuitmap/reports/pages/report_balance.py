"""What the readings of a job add up to, for the record: the account, and what speaks for and against the answer."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.count import count_sentences
from circuitmap.reports.suspects.leading import row_of_answer
from circuitmap.reports.suspects.no_draw import draws_normally
from circuitmap.reports.suspects.nothing_seen import nothing_seen_of
from circuitmap.reports.suspects.numbers import row_words
from circuitmap.reports.suspects.why import reasons_for_the_place
from circuitmap.wiring.platform import Platform


def balance_sentences(platform: Platform, diagnosis: Diagnosis) -> Iterator[str]:
    """`Found 14.8 A of 14.8 A.`, then each reason with its sign, most telling first."""
    yield from (f"{sentence[0].upper()}{sentence[1:]}" for sentence in count_sentences(diagnosis))
    row = row_of_answer(diagnosis)
    if row is None or draws_normally(diagnosis) or nothing_seen_of(diagnosis) is not None:
        return  # a vehicle that draws no more than it should accuses nobody
    yield f"They point to: {row_words(platform, row)}."
    for reason in reasons_for_the_place(platform, diagnosis, row):
        yield f"{reason.sign}  {reason.sentence}."
