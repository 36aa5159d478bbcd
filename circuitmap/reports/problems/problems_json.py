"""Problems in the notation as JSON values."""

from typing import Any

from circuitmap.problems import Problem
from circuitmap.source import Span


def problem_json(problem: Problem) -> dict[str, Any]:
    """One problem: `code`, `severity`, `headline`, its place, and what helps (empty when there is nothing to say).

    Lines and columns are counted from 1; `end_column` is the first column after the marked text.
    """
    return {
        "code": problem.code,
        "severity": problem.severity.word,
        "headline": problem.headline,
        **place_json(problem.span),
        "expected": problem.expected,
        "suggestion": problem.suggestion,
        "advice": problem.advice,
        "related": [{"text": related.text, **place_json(related.span)} for related in problem.related],
    }


def place_json(span: Span) -> dict[str, Any]:
    """Where something stands: file, line, column and where it ends."""
    line, column = span.source.position(span.start)
    end_line, end_column = span.source.position(span.end)
    return {"file": span.path, "line": line, "column": column, "end_line": end_line, "end_column": end_column}
