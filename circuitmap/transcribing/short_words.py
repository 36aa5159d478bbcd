"""A short line cut into words: groups of ends, what each wire looks like, and what follows."""

import re
from typing import NamedTuple

from circuitmap.transcribing.asked import Unclear

BEHIND = ("if", "not", "copied", "hands-off")
"""Words of the notation that may follow a wire; what stands from there on is written as in the notation."""
OPEN, SAME_END, SAME_LOOK = "?", "~", "="

_WORD = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"|,|[^\s",]+|"')


class TypedWord(NamedTuple):
    text: str
    start: int
    end: int

    @property
    def quoted(self) -> bool:
        return self.text.startswith('"')

    def unclear(self, headline: str, choices: tuple[str, ...] = ()) -> Unclear:
        return Unclear(headline, self.start, self.end, choices)


def words_in(line: str) -> list[TypedWord]:
    """The words of a line without its comment, each comma a word of its own."""
    return [TypedWord(match[0], match.start(), match.end()) for match in _WORD.finditer(line)]


def end_group(words: list[TypedWord], start: int) -> tuple[list[TypedWord], int]:
    """From `start` on, the words that belong to one point of the line, and the index behind them: one end or several
    with commas between, each perhaps with what the sheet says of an open one."""
    group: list[TypedWord] = []
    at = start
    while at < len(words):
        word = words[at]
        if word.text == ",":
            raise word.unclear("What stands before this comma?")
        if word.quoted:
            raise word.unclear("A text stands behind ? or code only.")
        group.append(word)
        at += 1
        if word.text == OPEN and at < len(words) and words[at].quoted:
            group.append(words[at])
            at += 1
        if at == len(words) or words[at].text != ",":
            break
        at += 1
        if at == len(words):
            raise words[at - 1].unclear("What stands behind this comma?")
    return group, at
