"""Adding to cards as text, for tests that look at nothing else."""

from circuitmap.evidence.job_card import read_card
from circuitmap.jobs import card_writing
from circuitmap.jobs.card_writing import Fields
from circuitmap.source import SourceFile


def with_entry(source: SourceFile, fields: Fields) -> str:
    """The text of a card with one more entry."""
    return card_writing.with_entry(read_card(source), fields)[0].source.text


def with_strike(source: SourceFile, number: int, reason: str) -> str:
    """The text of a card with an entry struck."""
    return card_writing.with_strike(read_card(source), number, reason)[0].source.text
