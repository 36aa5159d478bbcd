"""What cannot be read one way only: a question with its place and the choices, never a guess."""

import re
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


AS_REMARK = "a remark"
"""The choice that keeps a row of a table and puts a cell behind it as a remark."""
LEFT_OUT = "\0"
"""The answer that leaves a row of a table out; nobody can type it."""


def answered(source: SourceFile, settled: Settled, question: Question, answer: str) -> tuple[SourceFile, Settled]:
    """The text and the answers once somebody answered a question: by the number of a choice, by the word typed anew, or
    by nothing, which leaves its line out."""
    start, end = question.span.start, question.span.end
    if answer.isdecimal() and 0 < int(answer[:9]) <= len(question.choices):
        return source, {**settled, start: question.choices[int(answer) - 1]}
    if not answer:
        start, end = _line_of(source, question)
    return _with(source, settled, start, end, answer)


_END = r'(?:\?\s*"[^"]*"|[^\s",]+)'
_ENDS = re.compile(rf"{_END}(?:\s*,\s*{_END})*\Z")


def is_one_word(question: Question, answer: str) -> bool:
    """Whether what was typed anew may stand where one word of a line is asked about: one end, or several with commas
    between. Where the whole line is asked about, anything may."""
    return (
        bool(_ENDS.match(answer)) or question.span.text.strip() == question.span.source.line(question.span.line).strip()
    )


def with_line(source: SourceFile, settled: Settled, question: Question, line: str) -> tuple[SourceFile, Settled]:
    """The text with another line in the place of the one that is asked about."""
    start, end = _line_of(source, question)
    return _with(source, settled, start, end, line)


def with_line_below(source: SourceFile, settled: Settled, question: Question, line: str) -> tuple[SourceFile, Settled]:
    """The text with one more line below the one that is asked about."""
    _, end = _line_of(source, question)
    return _with(source, settled, end, end, f"\n{line}")


def _line_of(source: SourceFile, question: Question) -> tuple[int, int]:
    number = source.position(question.span.start)[0]
    start = source.line_starts[number - 1]
    return start, start + len(source.line(number))


def _with(source: SourceFile, settled: Settled, start: int, end: int, text: str) -> tuple[SourceFile, Settled]:
    shift = len(text) - (end - start)
    kept = {at + shift * (at >= end): its for at, its in settled.items() if at < start or at >= end}
    return SourceFile(source.path, source.text[:start] + text + source.text[end:]), kept
