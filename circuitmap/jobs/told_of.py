"""Which parts somebody means who tells of them in words of his own, and which amounts he names.

"The left door contact" is the part that the sheets call "door contact, left", and "the alternator" the one that they
call "alternator, 90 A": the words of a description in any order, ratings left out, where one part alone is called so.
"""

import re
from collections import Counter
from collections.abc import Iterator

from circuitmap.evidence.called_by_words import RATING
from circuitmap.wiring.parts import Battery, Load, Relay, Switch
from circuitmap.wiring.platform import Platform

_CLAUSE = re.compile(r"[;:()]|,(?=\s)|\.(?=\s|$)")
_WORD = re.compile(r"[^\s,;:()]+")
_FILLS = frozenset({"a", "an", "the", "of", "on", "in", "at", "for", "its"})
"""What stands between the words of a description without being one of them."""
_AMPS = re.compile(
    r"(?<!fuse )(?<!breaker )(?<![\w.])(\d+(?:\.\d+)?)\s?(mA|A)(?![\w])(?!\s*(?:fuse|relay|breaker|link|mini|maxi))"
)


def told_of(platform: Platform, words: str) -> tuple[str, ...]:
    """The parts that are told of by the words of their description in any order, one right behind the other but for
    what fills in between; of one that has all the words of another, and more, only that one."""
    its = dict(_described(platform))
    count = Counter(its.values())
    found: dict[str, tuple[frozenset[str], int]] = {}
    at = 0
    for clause in _CLAUSE.split(words.casefold()):
        said = [word.rstrip(".") for word in _WORD.findall(clause) if word not in _FILLS]
        for name, its_words in its.items():
            if count[its_words] > 1 or (len(its_words) == 1 and not _has_it_alone(name, its_words, its)):
                continue
            if (start := _stands_in(its_words, said)) is not None:
                found.setdefault(name, (its_words, at + start))
        at += len(said)
    whole = {name: one for name, one in found.items() if not any(one[0] < other for other, _ in found.values())}
    return tuple(sorted(whole, key=lambda name: whole[name][1]))


def _described(platform: Platform) -> Iterator[tuple[str, frozenset[str]]]:
    for name, part in platform.parts.items():
        if isinstance(part, Load | Relay | Switch | Battery):
            text = RATING.sub(" ", part.description.casefold())
            if words := frozenset(word for word in _WORD.findall(text) if word not in _FILLS):
                yield name, words


def _stands_in(words: frozenset[str], said: list[str]) -> int | None:
    """Where these words begin in what is said, in any order and each once; None if they do not stand there."""
    many = len(words)
    return next((n for n in range(len(said) - many + 1) if set(said[n : n + many]) == words), None)


def _has_it_alone(name: str, words: frozenset[str], its: dict[str, frozenset[str]]) -> bool:
    """Whether no other part has that word among its own: "heater" is no name where there is a bed heater, too."""
    return all(other == name or words.isdisjoint(its_words) for other, its_words in its.items())


def amounts_told(words: str) -> tuple[float, ...]:
    """The amounts in A that somebody names, but the rating of a fuse or relay."""
    return tuple(float(number) * (0.001 if unit == "mA" else 1.0) for number, unit in _AMPS.findall(words))
