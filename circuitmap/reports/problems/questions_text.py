"""Questions about what was typed or pasted, and what it became, as a person reads them."""

from collections.abc import Sequence

from circuitmap.reports.problems.problems_text import excerpt, shown
from circuitmap.transcribing.asked import Question
from circuitmap.transcribing.standing import KnownRow

_INDENT = "    "


def question_text(question: Question) -> str:
    """One question as several lines: its place, the line with a mark below what is meant, the numbered choices."""
    lines = [f"{question.span.place()}: {question.headline}", *excerpt(question.span)]
    lines += [f"{_INDENT}{number}  {choice}" for number, choice in enumerate(question.choices, 1)]
    return "\n".join(shown(line) for line in lines)


def questions_text(questions: Sequence[Question], so: str = "nothing was written") -> str:
    """All questions, with an empty line between them, their count at the end, and what follows from them."""
    count = f"{len(questions)} question{'' if len(questions) == 1 else 's'}: {so}."
    return "\n\n".join([*(question_text(question) for question in questions), count]) + "\n"


def standing_text(standing: Sequence[KnownRow]) -> str:
    """The rows of a table that are left out, because they stand there already."""
    one = len(standing) == 1
    count = (
        f"{len(standing)} row{' stands' if one else 's stand'} there already, and {'is' if one else 'are'} left out:"
    )
    return "\n".join([count, *(shown(f"{_INDENT}{its.says}  ({its.place})") for its in standing)])
