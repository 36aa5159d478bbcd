"""Any bytes as a file that is tidied: what it says stays, and what cannot be read stays as it was typed."""

import re
from collections.abc import Iterator

from circuitmap.notation.lines import comment_start, statement_texts
from circuitmap.notation.parser import plain_tokens
from circuitmap.notation.reading import read_text, statements_and_soundness
from circuitmap.notation.tidy import tidy, with_wires_as_now
from circuitmap.problems import Problem
from circuitmap.source import SourceFile
from tests.fuzzing.notation_from_bytes import Choices, lines_from, written
from tests.properties.notation_texts import all_said

MOST_LINES = 10
READ_WHOLE = 8
"""One in so many is read whole, with all that is done to understand what is wrong, which takes longest."""


def text_from(data: bytes) -> str:
    choices = Choices(data[1:])
    if choices.number(8) == 7:
        return choices.rest().decode("utf-8", "replace")
    return written(choices, lines_from(choices, MOST_LINES)).removeprefix("\ufeff")


def fuzz_tidy(data: bytes) -> None:
    """Raises AssertionError where a law is broken."""
    text = text_from(data)
    broken = list(broken_in(text, read_whole=data[:1] <= bytes([256 // READ_WHOLE])))
    assert not broken, f"{broken}\ntext {text!r}"


def broken_in(text: str, *, read_whole: bool = True) -> Iterator[str]:
    as_typed = SourceFile("a.circuit", text)
    source = with_wires_as_now(as_typed)
    tidied = SourceFile("a.circuit", tidy(as_typed))
    if tidy(tidied) != tidied.text:
        yield f"not tidy yet: {tidied.text!r}"
    if comments_of(tidied.text) != comments_of(text):
        yield f"comments changed: {tidied.text!r}"
    if statements_of(tidied) != statements_of(source):
        yield f"a statement with a fault was changed, or another one's words: {tidied.text!r}"
    if not read_whole:
        return
    before, problems_before = read_text(source)
    if all_said(before.statements) != all_said(read_text(as_typed)[0].statements):
        yield f"a wire of the older form says something else: {source.text!r}"
    after, problems_after = read_text(tidied)
    if all_said(after.statements) != all_said(before.statements):
        yield f"something else is said: {tidied.text!r}"
    if told(problems_after) != told(problems_before):
        yield f"other problems: {told(problems_before)}, then {told(problems_after)}"
    if unsound_lines(tidied, problems_after) != unsound_lines(source, problems_before):
        yield f"a line with a fault was changed: {tidied.text!r}"


def statements_of(source: SourceFile) -> list[list[str]]:
    """The words of each statement, and of one with a fault its whole lines."""
    found: list[list[str]] = []
    for place, sound in statements_and_soundness(source):
        if sound:
            found.append([token.text for token in plain_tokens(source.text[place.start : place.end])])
        else:
            first, last = source.position(place.start)[0], source.position(max(place.start, place.end - 1))[0]
            found.append([source.line(number) for number in range(first, last + 1)])
    return found


def told(problems: tuple[Problem, ...]) -> list[tuple[str, str, str, str]]:
    return [(problem.code, problem.headline, problem.suggestion, problem.expected) for problem in problems]


def unsound_lines(source: SourceFile, problems: tuple[Problem, ...]) -> list[str]:
    """The lines, without line ends, of every statement in which a problem was found."""
    found: set[int] = set()
    for problem in problems:
        found.update(range(problem.span.line, problem.span.end_line + 1))
    for place in statement_texts(source):
        lines = range(source.position(place.start)[0], source.position(max(place.start, place.end - 1))[0] + 1)
        if not found.isdisjoint(lines) and not _goes_on_below(problems, place.start, place.end):
            found.update(lines)
    return [source.line(number) for number in sorted(found)]


def _goes_on_below(problems: tuple[Problem, ...], start: int, end: int) -> bool:
    """Whether all that is wrong with a statement is that the line below belongs to it."""
    return all(p.code == "not-indented" for p in problems if start <= p.span.start < end)


def comments_of(text: str) -> list[str]:
    lines = re.split(r"\r?\n", text)
    return [line[comment_start(line) :].rstrip() for line in lines if comment_start(line) < len(line)]
