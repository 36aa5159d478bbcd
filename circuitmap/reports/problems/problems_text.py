"""Problems in the notation as a person reads them: place, line, caret, what was expected, what may have been meant."""

from circuitmap.problems import Problem, Severity
from circuitmap.source import Span, caret_line, display_width

_WIDEST_EXCERPT = 100
_LOOKED_AT = 4 * _WIDEST_EXCERPT
"""How many characters of a line are looked at for an excerpt: a character may take no room at all, but not this
many."""
_INDENT = "    "

MOST_TOLD = 50
"""How many problems of one card are told one by one; the others are only counted."""


def problems_text(problems: tuple[Problem, ...]) -> str:
    """All problems, with an empty line between them and the count of each severity at the end; empty when there are
    none."""
    if not problems:
        return ""
    return "\n\n".join([*(problem_text(problem) for problem in problems), counted(problems)]) + "\n"


def told_of_card(problems: tuple[Problem, ...]) -> str:
    """The first problems of a card, and how many more there are."""
    more = len(problems) - MOST_TOLD
    told = problems_text(problems[:MOST_TOLD])
    return f"{told}These are the first {MOST_TOLD}; {more:,} more are not shown.\n" if more > 0 else told


def problem_text(problem: Problem) -> str:
    """One problem as several lines, without a line end at the last."""
    lines = [f"{problem.span.place()}: {problem.severity.word}: {problem.headline} [{problem.code}]"]
    lines += excerpt(problem.span)
    if problem.expected:
        lines.append(f"{_INDENT}expected: {problem.expected}")
    if problem.suggestion:
        lines.append(f"{_INDENT}did you mean {problem.suggestion}?")
    if problem.advice:
        lines.append(_INDENT + problem.advice)
    for related in problem.related:
        lines.append(f"{_INDENT}{related.text}: {related.span.place()}")
        lines += [_INDENT + line for line in excerpt(related.span)]
    return "\n".join(shown(line) for line in lines)


def excerpt(span: Span) -> list[str]:
    """The line of a span and the carets below it; empty for an empty file. Long lines are cut on both sides."""
    line = span.source.line(span.line)
    if not line:
        return []
    column = span.column
    end_column = span.end_column if span.end_line == span.line else len(line) + 1
    line = line if len(line) > _LOOKED_AT else shown(line)
    before, cut = _cut_before(line, column)
    after = "..." if len(line) > cut + _LOOKED_AT else ""
    line = shown(line[cut : cut + _LOOKED_AT])
    column, end_column = column - cut, end_column - cut
    while display_width(line) > _WIDEST_EXCERPT:
        line, after = line[: len(line) - max(1, (display_width(line) - _WIDEST_EXCERPT) // 2)], "..."
    end_column = max(column, min(end_column, len(line) + 1))
    shift = " " * len(before)
    return [f"{_INDENT}{before}{line}{after}".rstrip(), f"{_INDENT}{shift}{caret_line(line, column, end_column)}"]


def counted(problems: tuple[Problem, ...]) -> str:
    """`2 errors, 1 warning`; "no problems" when there are none."""
    counts = [
        f"{number} {severity.word}{'' if number == 1 else 's'}"
        for severity in reversed(Severity)
        if (number := sum(problem.severity == severity for problem in problems))
    ]
    return ", ".join(counts) or "no problems"


def shown(text: str) -> str:
    """`text` with every character that is not printable replaced, so that no file can steer the screen."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() or c == "\t" else "\N{REPLACEMENT CHARACTER}" for c in text)


def _cut_before(line: str, column: int) -> tuple[str, int]:
    """How many characters to leave out at the beginning so that the caret is in sight."""
    if (len(line) <= _LOOKED_AT and display_width(line) <= _WIDEST_EXCERPT) or column <= _WIDEST_EXCERPT * 2 // 3:
        return "", 0
    return "...", column - _WIDEST_EXCERPT // 2
