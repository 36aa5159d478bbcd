"""Which parts somebody means who tells of them in words of his own, and which amounts he names.

"The left door contact" is the part that the sheets call "door contact, left", "the cooling box" the one that they call
"cool box, compressor with control": what a part is called (`evidence/called_by_words.py`) with its words in any order,
where one part alone is called so.
"""

import re
from collections import Counter

from circuitmap.evidence.called_by_words import FILLS, called_words
from circuitmap.wiring.platform import Platform

_CLAUSE = re.compile(r"[;:()]|,(?=\s)|\.(?=\s|$)")
_WORD = re.compile(r"[\w'/.-]+")
_SHORTEST_STEM = 3
"""Letters that a word must keep without its ending: "cooling" is "cool", "king" is no "k"."""
_AMPS = re.compile(
    r"(?<!fuse )(?<!breaker )(?<![\w.])(\d+(?:\.\d+)?)\s?(mA|A)(?![\w])(?!\s*(?:fuse|relay|breaker|link|mini|maxi))"
)


def told_of(platform: Platform, words: str) -> tuple[str, ...]:
    """The parts that are told of by what they are called, its words in any order and one right behind the other but for
    what fills in between; of one that has all the words of another, and more, only that one."""
    its = {name: tuple(called_words(platform, name)) for name in platform.parts}
    count = Counter(_stems(one) for its_names in its.values() for one in its_names)
    found: dict[str, tuple[frozenset[str], int]] = {}
    at = 0
    for clause in _CLAUSE.split(words.casefold()):
        said = [word.rstrip(".") for word in _WORD.findall(clause) if word not in FILLS]
        for name, names in its.items():
            for called in names:  # the longer one first
                if count[_stems(called)] > 1 or (len(called) == 1 and not _has_it_alone(name, called, its)):
                    continue
                if (start := _stands_in(called, said)) is not None:
                    found.setdefault(name, (called, at + start))
        at += len(said)
    whole = {name: one for name, one in found.items() if not any(one[0] < other for other, _ in found.values())}
    return tuple(sorted(whole, key=lambda name: whole[name][1]))


def _stands_in(words: frozenset[str], said: list[str]) -> int | None:
    """Where these words begin in what is said, in any order and each once; None if they do not stand there. One word
    alone is a name only as it is written."""
    many = len(words)
    compared = words if many == 1 else _stems(words)
    heard = said if many == 1 else [_stem(word) for word in said]
    return next((n for n in range(len(heard) - many + 1) if set(heard[n : n + many]) == compared), None)


def _stems(words: frozenset[str]) -> frozenset[str]:
    return frozenset(_stem(word) for word in words)


def _stem(word: str) -> str:
    """A word without the ending that makes two of one: "the cooling box", "the wipers' motor"."""
    for ending in ("ing", "s'", "'s", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= _SHORTEST_STEM:
            return word.removesuffix(ending)
    return word


def _has_it_alone(name: str, words: frozenset[str], its: dict[str, tuple[frozenset[str], ...]]) -> bool:
    """Whether no other part has that word in what it is called: "heater" is no name where there is a bed heater."""
    return all(other == name or all(words.isdisjoint(one) for one in names) for other, names in its.items())


def amounts_told(words: str) -> tuple[float, ...]:
    """The amounts in A that somebody names, but the rating of a fuse or relay."""
    return tuple(float(number) * (0.001 if unit == "mA" else 1.0) for number, unit in _AMPS.findall(words))
