"""Three-way merging of sequences: what each side did to the common ancestor, put together where it does not overlap."""

import re
from collections.abc import Sequence
from difflib import SequenceMatcher

_ITEMS = re.compile(r'"(?:[^"\\\n]|\\.)*"|#[^\n]*|->|-\[|\]->|[,:()]|\s+|[^\s,:()"#]+|.')
"""Words, quoted texts, comments, punctuation, blanks: nothing of a statement is left out."""


def items_of(text: str) -> list[str]:
    """The words, quoted texts, comments, punctuation and blanks of a statement, in their order."""
    return _ITEMS.findall(text)


def merge_texts(base: str, ours: str, theirs: str) -> str | None:
    """Line by line; None when both changed the same lines differently."""
    merged = merge_lists(base.splitlines(True), ours.splitlines(True), theirs.splitlines(True))
    return None if merged is None else "".join(merged)


def merge_sequences(base: str, ours: str, theirs: str) -> str | None:
    """Item by item of a statement; additions of both to one list are kept. None when they do not go together."""
    merged = merge_lists(items_of(base), items_of(ours), items_of(theirs))
    if merged is not None:
        return "".join(merged)
    return _merge_commas(base, ours, theirs)


def merge_lists(base: Sequence[str], ours: Sequence[str], theirs: Sequence[str]) -> list[str] | None:
    """The classical three-way merge; None when two changes overlap or touch without being equal."""
    changes = sorted({*_changes(base, ours), *_changes(base, theirs)})
    merged: list[str] = []
    done = 0
    last_start = last_end = -1
    for start, end, new in changes:
        if start < last_end or (last_end >= 0 and start in (last_start, last_end)):
            return None
        merged += base[done:start]
        merged += new
        done = end
        last_start, last_end = start, end
    return [*merged, *base[done:]]


def _changes(base: Sequence[str], side: Sequence[str]) -> list[tuple[int, int, tuple[str, ...]]]:
    matcher = SequenceMatcher(None, base, side, autojunk=False)
    return [(i1, i2, tuple(side[j1:j2])) for tag, i1, i2, j1, j2 in matcher.get_opcodes() if tag != "equal"]


def _merge_commas(base: str, ours: str, theirs: str) -> str | None:
    """Both only added items to the end of the same list: first ours, then theirs."""
    stem = base.rstrip()
    ours_stem, theirs_stem = ours.rstrip(), theirs.rstrip()
    if not (ours_stem.startswith(stem) and theirs_stem.startswith(stem)):
        return None
    added_ours, added_theirs = ours_stem[len(stem) :], theirs_stem[len(stem) :]
    if not (added_ours.lstrip().startswith(",") and added_theirs.lstrip().startswith(",")):
        return None
    return stem + added_ours + added_theirs + ours[len(ours_stem) :]
