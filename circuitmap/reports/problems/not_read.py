"""What a page says about parts that could not be read: a page that looks complete must be complete."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.reports.problems.problems_text import MOST_TOLD
from circuitmap.reports.words.paragraphs import counted
from circuitmap.wiring.platform import Platform


def not_complete_sentences(platform: Platform, card_problems: tuple[Problem, ...] = ()) -> Iterator[str]:
    """What stands at the head of a page that rests on a card or a platform with errors."""
    if card_problems:
        places = counted(len(card_problems), "place")
        yield f"Parts of the job card could not be read ({places}, named in the record): this page rests on the rest."
    errors = errors_in(platform)
    if errors:
        yield f"The wiring that was typed in has {counted(errors, 'error')}: this page rests on the rest of it."


def not_read_sentences(card_problems: tuple[Problem, ...]) -> Iterator[str]:
    """Each place on the card that could not be read, for the record."""
    for problem in card_problems[:MOST_TOLD]:
        yield f"{problem.span.place()}: {problem.headline}"
    more = len(card_problems) - MOST_TOLD
    if more > 0:
        yield f"And {more:,} more."


def errors_in(platform: Platform) -> int:
    return sum(problem.severity is Severity.ERROR for problem in platform.problems)
