"""What a save of a watched platform changed, as a person reads it beside an editor."""

from collections.abc import Sequence

from circuitmap.problems import Problem
from circuitmap.reports.problems.problems_text import counted, problem_text

MOST_SHOWN = 20
"""New problems of one save that are shown; the worst first, of the rest how many."""


def watched_text(new: Sequence[Problem], gone: int, problems: tuple[Problem, ...], at: str) -> str:
    """The new problems with their places, the worst last, where the eye is; then what there is in all."""
    worst_first = sorted(new, key=lambda problem: -problem.severity)[:MOST_SHOWN]
    blocks = [problem_text(problem) for problem in reversed(worst_first)]
    more = [f"and {len(new) - MOST_SHOWN} more new ones: circuitmap check"] if len(new) > MOST_SHOWN else []
    went = f"; {gone} gone" if gone else ""
    return "\n\n".join([*blocks, *more, f"{at}  {counted(problems)}{went}"])
