"""What the readings of a job add up to, for the record: the account, and what speaks for and against the answer."""

from collections.abc import Collection, Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.count import count_sentences
from circuitmap.reports.suspects.leading import row_of_answer
from circuitmap.reports.suspects.no_draw import draws_normally
from circuitmap.reports.suspects.nothing_seen import nothing_seen_of
from circuitmap.reports.suspects.numbers import row_words
from circuitmap.reports.suspects.why import reasons_for_the_place
from circuitmap.wiring.platform import Platform


def set_going(diagnosis: Diagnosis, parts: Collection[str]) -> dict[str, str]:
    """What runs, burns or stays awake by the answer, each with what its current is; nothing where the answer is of
    none of these `parts`, or the vehicle draws no more than it should."""
    row = row_of_answer(diagnosis)
    if row is None or draws_normally(diagnosis):
        return {}
    faults = [fault for faults in row.faults for fault in faults[:1] if fault.part in parts]
    flows = (flow for fault in faults for flow in fault.brings)
    return {flow.owner: flow.key.taken for flow in flows if flow.key.taken in ("running", "awake")}


def balance_sentences(platform: Platform, diagnosis: Diagnosis) -> Iterator[str]:
    """`Found 14.8 A of 14.8 A.`, then each reason with its sign, most telling first."""
    yield from (f"{sentence[0].upper()}{sentence[1:]}" for sentence in count_sentences(diagnosis))
    row = row_of_answer(diagnosis)
    if row is None or draws_normally(diagnosis) or nothing_seen_of(diagnosis) is not None:
        return  # a vehicle that draws no more than it should accuses nobody
    yield f"They point to: {row_words(platform, row)}."
    for reason in reasons_for_the_place(platform, diagnosis, row):
        yield f"{reason.sign}  {reason.sentence}."
