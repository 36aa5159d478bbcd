"""What became of typed or pasted text, as JSON values."""

from collections.abc import Mapping, Sequence
from typing import Any

from circuitmap.problems import Problem
from circuitmap.reports.problems.problems_json import place_json, problem_json
from circuitmap.transcribing.asked import Question


def transcribed_json(
    lines: Sequence[str],
    questions: Sequence[Question],
    problems: Sequence[Problem],
    written: str,
    more: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """The statements, the questions, the problems that are new in the platform, and the file that was written, if any
    was; `more` comes before them."""
    return {
        **(more or {}),
        "lines": list(lines),
        "questions": [question_json(question) for question in questions],
        "found": [problem_json(problem) for problem in problems],
        "written": written,
    }


def question_json(question: Question) -> dict[str, Any]:
    return {"asked": question.headline, **place_json(question.span), "choices": list(question.choices)}
