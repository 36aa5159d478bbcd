"""The pages that explain the notation: its reference, and a page for each code of a problem."""

from functools import cache
from pathlib import Path

from circuitmap.failures import WrongUse
from circuitmap.notation.near_words import near_word

_PACKAGE = Path(__file__).resolve().parent.parent


def manual_folder() -> Path:
    """Where the grammar, the reference and the problem pages are: inside the installed package, or beside it in a
    checkout."""
    shipped = _PACKAGE / "grammar"
    return shipped if shipped.is_dir() else _PACKAGE.parent / "grammar"


@cache
def problem_codes() -> tuple[str, ...]:
    """Every code that has a page, in alphabetical order."""
    return tuple(sorted(page.stem for page in (manual_folder() / "problems").glob("*.md")))


def problem_page(code: str) -> str:
    """What a problem means, with a bad and a good example, as Markdown; raises WrongUse for an unknown code."""
    if code not in problem_codes():
        near = near_word(code, problem_codes())
        advice = f"Did you mean {near}?" if near else f"The codes are: {', '.join(problem_codes())}."
        raise WrongUse(f"There is no problem with the code {code}.", advice)
    return (manual_folder() / "problems" / f"{code}.md").read_text(encoding="utf-8")
