"""Rows of names, `CAB.F50..F59`, written out name by name."""

import re

from circuitmap.notation.statements import Word
from circuitmap.problems import Problem, Severity

LONGEST_ROW = 100
"""Most names that one row may stand for."""

_STEM_AND_NUMBER = re.compile(r"(.*?)([0-9]{1,9})\Z", re.ASCII | re.DOTALL)


def names_in_row(first: Word, last: Word) -> tuple[tuple[Word, ...], Problem | None]:
    """The names from `first` to `last`, each standing where the row stands, or what is wrong with the row.

    The last name may leave out what it shares with the first: `CAB.F50..F59` and `CAB.F50..59` are `CAB.F50..CAB.F59`.
    Leading zeros are kept: `F08..F11`.
    """
    row = first.span.to(last.span)
    begin, end = _STEM_AND_NUMBER.match(first.text), _STEM_AND_NUMBER.match(last.text)
    if begin is None or end is None:
        return (first,), Problem(
            "bad-row", Severity.ERROR, f"The row {first.text}..{last.text} has an end without a number.", row,
            expected="two names that end in a number, such as CAB.F50..F59",
        )  # fmt: skip
    stem, low, high = begin[1], int(begin[2]), int(end[2])
    if not stem.endswith(end[1]) or (end[1] and stem != end[1] and not _is_whole_level(stem, end[1])):
        return (first,), Problem(
            "bad-row", Severity.ERROR, f"The two ends of the row {first.text}..{last.text} are named differently.", row,
            expected=f"a second name such as {stem.rpartition('.')[2]}{high}",
        )  # fmt: skip
    if high < low:
        return (first,), Problem(
            "bad-row", Severity.ERROR, f"The row {first.text}..{last.text} runs downwards.", row,
            expected="the smaller number first",
        )  # fmt: skip
    if high - low >= LONGEST_ROW:
        return (first,), Problem(
            "bad-row", Severity.ERROR, f"The row {first.text}..{last.text} is too long.", row,
            expected=f"at most {LONGEST_ROW} names in a row",
        )  # fmt: skip
    width = len(begin[2]) if begin[2].startswith("0") else 0
    return tuple(Word(f"{stem}{number:0{width}d}", row) for number in range(low, high + 1)), None


def _is_whole_level(stem: str, tail: str) -> bool:
    """Whether `tail` begins at a level of the name: `F` does in `CAB.F`, `B.F` does not."""
    return stem[: -len(tail)].endswith(".")
