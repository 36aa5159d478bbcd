"""What cannot be read one way only: a question with its place and the choices, never a guess."""

from collections.abc import Mapping
from typing import NamedTuple

from circuitmap.source import SourceFile, Span

Settled = Mapping[int, str]
"""What somebody answered: the offset of the word that was asked about, and what it stands for, in the full notation."""


class Question(NamedTuple):
    """`headline` asks; `choices` are what the word may stand for, each as the full notation writes it."""

    headline: str
    span: Span
    choices: tuple[str, ...] = ()


class Unclear(Exception):
    """One word of what was typed can be read in several ways, or in none."""

    def __init__(self, headline: str, start: int, end: int, choices: tuple[str, ...] = ()) -> None:
        super().__init__(headline)
        self.headline = headline
        self.start = start
        self.end = end
        self.choices = choices


LEFT_OUT = "\0"
"""The answer that leaves a row of a table out; nobody can type it."""


def answered(source: SourceFile, settled: Settled, question: Question, answer: str) -> tuple[SourceFile, Settled]:
    """The text and the answers once somebody answered a question: by the number of a choice, by the word typed anew, or
    by nothing, which leaves its line out."""
    start, end = question.span.start, question.span.end
    if answer.isdecimal() and 0 < int(answer[:9]) <= len(question.choices):
        return source, {**settled, start: question.choices[int(answer) - 1]}
    if not answer:
        number = source.position(start)[0]
        start = source.line_starts[number - 1]
        end = start + len(source.line(number))
    shift = len(answer) - (end - start)
    kept = {at + shift * (at >= end): its for at, its in settled.items() if at < start or at >= end}
    return SourceFile(source.path, source.text[:start] + answer + source.text[end:]), kept
