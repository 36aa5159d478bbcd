"""Does a line name a recorder's file, and what does it answer of what the file does not say?"""

import re
from typing import NamedTuple

from circuitmap.failures import WrongUse

_ANSWERS = ("place", "zero", "column", "unit", "scale", "distance", "sign")
_LINE = re.compile(r"\s*logged:?\s+(?P<rest>\S.*)\Z", re.IGNORECASE | re.DOTALL)
_A_FILE = re.compile(r"\.(csv|txt|tsv|log|dat|asc)\Z", re.IGNORECASE)
HOW = "For example: logged night.csv   or   logged night.csv zero 0A,0.012A unit mA place F92"


class NamedLog(NamedTuple):
    """The file that a line names, and the answers to what the file does not say."""

    file: str
    answers: dict[str, str]


def log_named(line: str) -> NamedLog | None:
    """What `logged FILE ...` names; None for any other line, also for figures of a log (`logged floor 0.04A ..`)."""
    match = _LINE.match(line)
    if match is None:
        return None
    words = match["rest"].split()
    first = next((n for n, word in enumerate(words) if n and word.casefold() in _ANSWERS), len(words))
    file = " ".join(words[:first]).strip("\"'")
    if not _A_FILE.search(file):
        return None
    return NamedLog(file, answers_in(" ".join(words[first:])))


def answers_in(text: str) -> dict[str, str]:
    """`zero 0A,0.012A unit mA` by name; raises WrongUse for what is no answer."""
    answers: dict[str, str] = {}
    key = ""
    for word in text.split():
        if word.casefold() in _ANSWERS and (not key or answers[key]):
            key = word.casefold()
            if key in answers:
                raise WrongUse(f"{key} stands twice in this line.", HOW)
            answers[key] = ""
        elif not key:
            raise WrongUse(f"{word} is not understood here.", HOW)
        else:
            answers[key] = f"{answers[key]} {word}".strip()
    for key, value in answers.items():
        if not value:
            raise WrongUse(f"{key} needs something after it.", HOW)
    return {key: value.strip("\"'") for key, value in answers.items()}
