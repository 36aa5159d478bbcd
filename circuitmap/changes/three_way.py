"""Three-way merging of sequences: what each side did to the common ancestor, put together where it does not overlap."""

import re
from collections import Counter
from collections.abc import Hashable, Iterator, Sequence
from itertools import chain
from typing import NamedTuple, TypeVar

from circuitmap.changes.alignment import alignment

_ITEMS = re.compile(r'"(?:[^"\\\n]|\\.)*"|#[^\n]*|->|-\[|\]->|[,:()]|[ \t\r\n]+|[^\s,:()"#]+|.', re.DOTALL)
"""Words, quoted texts, comments, punctuation, blanks: nothing of a statement is left out."""

Items = Sequence[str]
Counted = TypeVar("Counted", bound=Hashable)


class Hunk(NamedTuple):
    """What stands at one place in the three versions; they are equal where nobody changed anything."""

    base: Items
    ours: Items
    theirs: Items


def items_of(text: str) -> list[str]:
    """The words, quoted texts, comments, punctuation and blanks of a statement, in their order."""
    return _ITEMS.findall(text)


def merge_sequences(base: str, ours: str, theirs: str) -> str | None:
    """Merges a statement item by item; additions of both sides to one list are kept. None when they do not go
    together."""
    merged = merge_lists(items_of(base), items_of(ours), items_of(theirs))
    if merged is not None:
        return "".join(merged)
    return _merge_commas(base, ours, theirs)


def merge_lists(base: Items, ours: Items, theirs: Items) -> list[str] | None:
    """The classical three-way merge; None when two changes overlap or touch without being equal."""
    merged: list[str] = []
    for hunk in hunks(base, ours, theirs):
        one = _one_version(hunk)
        if one is None:
            return None
        merged += one
    return merged


def merge_lines(base: Items, ours: Items, theirs: Items) -> list[str]:
    """Like `merge_lists`, but where both changed the same lines, the lines of both are kept, ours first, and a line
    that one of them took away is gone."""
    merged: list[str] = []
    for hunk in hunks(base, ours, theirs):
        one = _one_version(hunk)
        merged += _lines_of_both(hunk) if one is None else one
    return merged


def counts_together(base: Counter[Counted], ours: Counter[Counted], theirs: Counter[Counted]) -> Counter[Counted]:
    """How often each item is there once the changes of both are made: what both added counts once."""
    together: Counter[Counted] = Counter()
    for item in {*base, *ours, *theirs}:
        before, mine, other = base[item], ours[item] - base[item], theirs[item] - base[item]
        together[item] = max(0, before + max(0, mine, other) + min(0, mine) + min(0, other))
    return together


def hunks(base: Items, ours: Items, theirs: Items) -> Iterator[Hunk]:
    """The three versions cut at the places where all of them are equal."""
    changes = sorted(
        chain(
            ((start, end, 0, new) for start, end, new in _changes(base, ours)),
            ((start, end, 1, new) for start, end, new in _changes(base, theirs)),
        ),
        key=lambda change: change[:3],
    )
    done = at = 0
    while at < len(changes):
        first = at
        start, end = changes[at][:2]
        at += 1
        while at < len(changes) and changes[at][0] <= end:
            end = max(end, changes[at][1])
            at += 1
        if done < start:
            yield Hunk(*[base[done:start]] * 3)
        sides = [_changed(base, start, end, [c for c in changes[first:at] if c[2] == side]) for side in (0, 1)]
        yield Hunk(base[start:end], *sides)
        done = end
    if done < len(base):
        yield Hunk(*[base[done:]] * 3)


def _changed(base: Items, start: int, end: int, changes: list[tuple[int, int, int, Items]]) -> list[str]:
    new: list[str] = []
    for first, last, _, items in changes:
        new += base[start:first]
        new += items
        start = last
    return [*new, *base[start:end]]


def _changes(base: Items, side: Items) -> Iterator[tuple[int, int, Items]]:
    done_base = done_side = 0
    for at_base, at_side, length in (*alignment(base, side), (len(base), len(side), 0)):
        if done_base < at_base or done_side < at_side:
            yield done_base, at_base, side[done_side:at_side]
        done_base, done_side = at_base + length, at_side + length


def _one_version(hunk: Hunk) -> Items | None:
    base, ours, theirs = map(list, hunk)
    if ours == theirs or theirs == base:
        return ours
    return theirs if ours == base else None


def _lines_of_both(hunk: Hunk) -> Iterator[str]:
    left = counts_together(*(Counter(version) for version in hunk))
    for line in chain(hunk.ours, hunk.theirs):
        if left[line]:
            left[line] -= 1
            yield line


def _merge_commas(base: str, ours: str, theirs: str) -> str | None:
    """If both only added items to the end of the same list: first ours, then theirs."""
    stem = base.rstrip()
    ours_stem, theirs_stem = ours.rstrip(), theirs.rstrip()
    if not (ours_stem.startswith(stem) and theirs_stem.startswith(stem)):
        return None
    added_ours, added_theirs = ours_stem[len(stem) :], theirs_stem[len(stem) :]
    if not (added_ours.lstrip().startswith(",") and added_theirs.lstrip().startswith(",")):
        return None
    return stem + added_ours + added_theirs + ours[len(ours_stem) :]
