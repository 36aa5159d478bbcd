"""Which known name was meant: names that differ by one slip of a finger.

A slip is one character too many, too few, wrong, or two neighbours swapped; upper and lower case and look-alike
characters count as the same.
"""

import re
from collections.abc import Iterable

from circuitmap.notation.names import LONGEST_NAME

_LOOKS_LIKE = str.maketrans("oil", "011")
_DIGITS = re.compile(r"\d+")


def folded(name: str) -> str:
    """`name` as a tired eye reads it: upper and lower case, O and 0, I, l and 1 all look the same."""
    return name.lower().translate(_LOOKS_LIKE)


def digits_of(name: str) -> list[str]:
    """The numbers in a name."""
    return _DIGITS.findall(name)


class NearNames:
    """An index of known names that finds the one near to a misspelt word.

    Names have at most `LONGEST_NAME` characters: anything longer by more than one slip is near to none, and is not even
    looked at, because the work grows with the square of the length.
    """

    def __init__(self, names: Iterable[str]) -> None:
        self.names = tuple(names)
        self._by_shortened: dict[str, list[str]] | None = None

    def near(self, written: str) -> str:
        """The known name that was probably meant, or "" when none or more than one is near."""
        nearest = self.nearest(written)
        return nearest[0] if len(nearest) == 1 else ""

    def nearest(self, written: str) -> tuple[str, ...]:
        """The known names that may have been meant: one slip away, and none of the others nearer."""
        if len(written) > LONGEST_NAME + 1:
            return ()
        if self._by_shortened is None:
            self._by_shortened = {}
            for name in self.names:
                if len(name) > LONGEST_NAME:
                    continue
                for key in _shortened(folded(name)):
                    self._by_shortened.setdefault(key, []).append(name)
        word = folded(written)
        found: dict[str, int] = {}
        for key in _shortened(word):
            for name in self._by_shortened.get(key, ()):
                if name != written and name not in found:
                    known = folded(name)
                    if _slips(word, known) <= 1 and not _another_number(word, known):
                        found[name] = 2 * (word != known) + (digits_of(written) != digits_of(name))
        best = min(found.values(), default=0)
        return tuple(sorted(name for name, rank in found.items() if rank == best))


def _another_number(a: str, b: str) -> bool:
    """One digit in place of another, F23 and F22: more often two parts than a slip."""
    if len(a) != len(b):
        return False
    differing = [(x, y) for x, y in zip(a, b, strict=True) if x != y]
    return len(differing) == 1 and differing[0][0].isdigit() and differing[0][1].isdigit()


def _shortened(word: str) -> set[str]:
    """The word, and the word without each one of its characters."""
    return {word, *(word[:at] + word[at + 1 :] for at in range(len(word)))}


def _slips(a: str, b: str) -> int:
    """0, 1 or 2 (meaning more than one) slips between two words."""
    if a == b:
        return 0
    if min(len(a), len(b)) < 2:
        return 2
    start = 0
    while start < min(len(a), len(b)) and a[start] == b[start]:
        start += 1
    rest_a, rest_b = a[start:], b[start:]
    if rest_a[1:] == rest_b or rest_a == rest_b[1:] or rest_a[1:] == rest_b[1:]:
        return 1
    swapped = rest_a[1::-1] + rest_a[2:]
    return 1 if len(rest_a) == len(rest_b) and swapped == rest_b else 2
