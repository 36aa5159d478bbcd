"""Where a telephone number stands in a text, however it is written: with an area or country code, in groups, with signs
between them."""

import re
from collections.abc import Iterator

from circuitmap.jobs.customer_words import SHORTEST_NUMBER
from circuitmap.jobs.folded import Folded
from circuitmap.jobs.found_places import Place

_DIGITS = re.compile(r"\d+")
_BETWEEN = re.compile(r"[\s()./+\u2010-\u2015\u00b7_-]{1,4}")

_MOST_CODES = 2
"""A number may have an area code before it, and the area code a country code."""

Group = re.Match[str]
"""Digits that stand together."""


def numbers_in(its: Folded, windows: frozenset[str], short_numbers: tuple[str, ...]) -> Iterator[Place]:
    """`windows` are all stretches of `SHORTEST_NUMBER` digits of the numbers looked for: a text that shares one with
    them holds the number, or most of it. `short_numbers` might be anything else as well."""
    if not windows and not short_numbers:
        return
    groups: list[Group] = []
    for match in _DIGITS.finditer(its.text):
        if groups and not _BETWEEN.fullmatch(its.text, groups[-1].end(), match.start()):
            yield from _of_groups(its, groups, windows, short_numbers)
            groups = []
        groups.append(match)
    yield from _of_groups(its, groups, windows, short_numbers)


def _of_groups(
    its: Folded, groups: list[Group], windows: frozenset[str], short_numbers: tuple[str, ...]
) -> Iterator[Place]:
    """Groups of digits that nothing but signs separates."""
    digits = "".join(group[0] for group in groups)
    owner = [n for n, group in enumerate(groups) for _ in group[0]]
    touched: set[int] = set()
    for at in range(len(digits) - SHORTEST_NUMBER + 1):
        if digits[at : at + SHORTEST_NUMBER] in windows:
            touched.update(owner[at : at + SHORTEST_NUMBER])
    for n, group in enumerate(groups):
        if n in touched:
            if n - 1 not in touched:
                yield _whole_number(its, groups, n, touched)
        elif group[0] in short_numbers and not _of_something_else(its, group):
            yield Place(group.start(), group.end(), False)


def _whole_number(its: Folded, groups: list[Group], first: int, touched: set[int]) -> Place:
    """The groups from `first` on that belong to the number, including an area or country code before it."""
    last = first
    while last + 1 in touched:
        last += 1
    for _ in range(_MOST_CODES):
        if first and (groups[first - 1][0][0] == "0" or _plus_before(its, groups[first - 1])):
            first -= 1
    start, end = groups[first].start(), groups[last].end()
    opened = its.text[start - 1 : start] == "(" and ")" in its.text[start:end]
    return Place(start - 1 if opened or _plus_before(its, groups[first]) else start, end, True)


def _of_something_else(its: Folded, group: Group) -> bool:
    """Digits after a decimal point, or of a name such as F4420."""
    return its.text[group.start() - 1 : group.start()] == "." or its.is_letter(group.start() - 1)


def _plus_before(its: Folded, group: Group) -> bool:
    return its.text[group.start() - 1 : group.start()] == "+"
