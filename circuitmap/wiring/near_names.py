"""Which known name was meant: names that differ by one slip of a finger.

A slip is one character too many, too few, wrong, or two neighbours swapped; upper and lower case and look-alike
characters count as the same.
"""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.notation.names import LONGEST_NAME

_LOOKS_LIKE = str.maketrans("oil", "011")
_DIGITS = re.compile(r"\d+")


def folded(name: str) -> str:
    """`name` as a tired eye reads it: upper and lower case, O and 0, I, l and 1 all look the same."""
    return name.lower().translate(_LOOKS_LIKE)


def digits_of(name: str) -> list[str]:
    """The numbers in a name."""
    return _DIGITS.findall(name)


class _Known(NamedTuple):
    """A known name, as a tired eye reads it, and the numbers in it."""

    name: str
    folded: str
    digits: list[str]


class NearNames:
    """An index of known names that finds the one near to a misspelt word.

    Names have at most `LONGEST_NAME` characters: anything longer by more than one slip is near to none, and is not even
    looked at, because the work grows with the square of the length.
    """

    def __init__(self, names: Iterable[str]) -> None:
        self.names = tuple(names)
        self._by_shortened: dict[str, list[_Known]] | None = None
        self._by_tail: dict[str, list[str]] | None = None

    def behind_a_point(self, tail: str) -> Sequence[str]:
        """The known names that end like this behind a point: `A.F1` for `F1`."""
        if self._by_tail is None:
            self._by_tail = {}
            for name in self.names:
                _, point, rest = name.partition(".")
                while point:
                    self._by_tail.setdefault(rest, []).append(name)
                    _, point, rest = rest.partition(".")
        return self._by_tail.get(tail, ())

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
                its = _Known(name, folded(name), digits_of(name))
                for key in _shortened(its.folded):
                    self._by_shortened.setdefault(key, []).append(its)
        word, digits = folded(written), digits_of(written)
        seen = {written}
        found: dict[str, int] = {}
        for key in _shortened(word):
            for name, known, its_digits in self._by_shortened.get(key, ()):
                if name not in seen:
                    seen.add(name)
                    # What another number tells apart is mostly so, and quicker to see than how many slips there are.
                    if not _another_number(word, known) and _slips(word, known) <= 1:
                        found[name] = 2 * (word != known) + (digits != its_digits)
        best = min(found.values(), default=0)
        return tuple(sorted(name for name, rank in found.items() if rank == best))


def _another_number(a: str, b: str) -> bool:
    """One digit in place of another, F23 and F22: more often two parts than a slip."""
    if len(a) != len(b):
        return False
    at = next((n for n, letter in enumerate(a) if letter != b[n]), -1)
    return at >= 0 and a[at + 1 :] == b[at + 1 :] and a[at].isdigit() and b[at].isdigit()


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
