"""What the readings of a job add up to, for the record: the account, and what speaks for and against the answer."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects_numbers import row_words
from circuitmap.reports.suspects_text import row_of_answer
from circuitmap.reports.suspects_unknown import contradiction_sentences
from circuitmap.reports.suspects_why import ampere, reasons_for_the_place
from circuitmap.wiring.platform import Platform


def balance_sentences(platform: Platform, diagnosis: Diagnosis) -> Iterator[str]:
    """`Found 14.8 A of 14.8 A.`, then each reason with its sign, most telling first."""
    account = diagnosis.account
    if account is not None:
        yield (
            f"Found {ampere(account.found)} of {ampere(account.total)}; not found {ampere(account.left)}; "
            f"the meters can be off {ampere(account.error)}."
        )
    yield from contradiction_sentences(diagnosis)
    row = row_of_answer(diagnosis)
    if row is None:
        return
    yield f"They point to: {row_words(platform, row)}."
    for reason in reasons_for_the_place(platform, diagnosis, row):
        yield f"{reason.sign}  {reason.sentence}."
