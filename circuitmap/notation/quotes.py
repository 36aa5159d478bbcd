"""Texts whose quotes are not closed, not opened, or missing."""

import re
from collections.abc import Iterator

from circuitmap.notation.draft import Draft, parsed
from circuitmap.problems import Problem, Severity

_PAIR = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"')
_QUOTE = re.compile(r'(?<!\\)"')
_WORD_END = re.compile(r"(?<=\S)(?=\s|\Z)")


def with_quotes_closed(draft: Draft) -> tuple[Draft, list[Problem]]:
    """The draft with a quote added in every line that has an unpaired one."""
    problems: list[Problem] = []
    start = 0
    while start <= len(draft.text):
        end = draft.text.find("\n", start)
        end = len(draft.text) if end < 0 else end
        line = draft.text[start:end]
        single = _single_quote(line)
        if single >= 0:
            at = start + single
            if _closes(line, single):
                draft, problem = _opened(draft, start, at)
            else:
                draft, problem = _closed(draft, at, start + len(line.rstrip()))
            problems.append(problem)
            end = draft.text.find("\n", start)
            end = len(draft.text) if end < 0 else end
        start = end + 1
    return draft, problems


def _single_quote(line: str) -> int:
    """The quote of a line that has no partner; -1 when all have."""
    code = _without_comment(line)
    quotes = [match.start() for match in _QUOTE.finditer(code)]
    if len(quotes) % 2 == 0:
        return -1
    # An opening quote stands after a blank or a sign, a closing one before a blank or a sign. The first quote that does
    # not fit its turn shows which one has no partner.
    for number, at in enumerate(quotes):
        if number % 2 == 1 and _opens(code, at) and not _closes(code, at):
            return quotes[number - 1]
        if number % 2 == 0 and number + 1 < len(quotes) and _closes(code, at) and not _opens(code, at):
            return at
    return quotes[-1]


def _without_comment(line: str) -> str:
    """The line up to a `#` that is outside of paired quotes."""
    at = 0
    while at < len(line):
        if line[at] == "#":
            return line[:at]
        pair = _PAIR.match(line, at)
        at = pair.end() if pair else at + 1
    return line


def _opens(line: str, at: int) -> bool:
    return at == 0 or line[at - 1] in " \t,([-"


def _closes(line: str, at: int) -> bool:
    return at > 0 and line[at - 1] not in " \t" and (at + 1 == len(line.rstrip()) or line[at + 1] in " \t,)]:")


def _closed(draft: Draft, at: int, line_end: int) -> tuple[Draft, Problem]:
    problem = Problem(
        "unclosed-quotes", Severity.ERROR, "This text is not closed.", draft.span(at, line_end),
        expected="a second `\"` in the same line",
    )  # fmt: skip
    ends = [match.start() for match in _WORD_END.finditer(draft.text, at + 1, line_end)] or [line_end]
    for end in ends:
        if draft.effort.used_up:
            break
        mended = draft.mended(end, end, '"')
        if parsed(mended):
            return mended, problem
    return draft.mended(line_end, line_end, '"'), problem


def _opened(draft: Draft, line_start: int, at: int) -> tuple[Draft, Problem]:
    problem = Problem(
        "unclosed-quotes", Severity.ERROR, "A text ends here that does not begin.", draft.span(at, at + 1),
        expected="a `\"` before the text as well",
    )  # fmt: skip
    begins = [match.start() for match in re.finditer(r"(?<=\s)(?=\S)", draft.text[:at]) if match.start() >= line_start]
    for begin in reversed(begins):
        if draft.effort.used_up:
            break
        mended = draft.mended(begin, begin, '"')
        if parsed(mended):
            return mended, problem
    return draft.mended(at, at + 1, ""), problem


def quotings(draft: Draft, start: int) -> Iterator[Draft]:
    """Drafts with quotes around what begins at `start`, the shortest stretch first, within its line."""
    line_end = draft.text.find("\n", start)
    line_end = len(draft.text) if line_end < 0 else line_end
    for match in _WORD_END.finditer(draft.text, start, line_end):
        inner = draft.text[start : match.start()]
        if '"' not in inner:
            yield draft.mended(match.start(), match.start(), '"').mended(start, start, '"')
