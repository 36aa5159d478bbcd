"""One statement that two people changed, merged word by word where that is surely what they meant."""

from collections import Counter
from collections.abc import Iterable, Sequence

from circuitmap.changes.blocks import statements_in
from circuitmap.changes.statement_keys import Key, is_list, keys_of, pieces_of, without_comments, words_of
from circuitmap.changes.three_way import counts_together, merge_sequences
from circuitmap.notation.lines import LONGEST_STATEMENT
from circuitmap.notation.reading import statements_and_soundness
from circuitmap.source import SourceFile

MOST_CHARACTERS = 500_000
"""Most characters of statements that are put together word by word in one file; beyond that they are left in
conflict."""


class WordByWord:
    """Puts statements of one file together, up to a limit of work."""

    def __init__(self) -> None:
        self._characters_left = MOST_CHARACTERS

    def merged(self, base: str, ours: str, theirs: str) -> str | None:
        """The statement with the changes of both; None where they do not surely go together."""
        if theirs in (base, ours):
            return ours
        if ours == base:
            return theirs
        self._characters_left -= len(base) + len(ours) + len(theirs)
        if self._characters_left < 0 or max(map(len, (base, ours, theirs))) > LONGEST_STATEMENT:
            return None
        merged = merge_sequences(base, ours, theirs)
        if merged is None or not _keeps_all(base, ours, theirs, merged):
            return None
        return merged


def _keeps_all(base: str, ours: str, theirs: str, merged: str) -> bool:
    """Whether it is one statement with nothing wrong in it that has every word of both, is about what they are about
    and nothing twice, and says of each item of a list what one of them says."""
    words = [words_of(text) for text in (base, ours, theirs, merged)]
    old, mine, other, new = (Counter(its) for its in words)
    if statements_in(merged) != [merged] or not new >= counts_together(old, mine, other):
        return False
    if not all(sound for _, sound in statements_and_soundness(SourceFile("merge", merged))):
        return False
    spoken = [without_comments(its) for its in words]
    keys = [keys_of(its) for its in spoken]
    if Counter(keys[3]) != +counts_together(*(Counter(set(its)) for its in keys[:3])):
        return False
    if not all(map(is_list, spoken)):
        return True
    said = [said_of([text]) for text in (base, ours, theirs, merged)]
    return all(_is_of_both(*(its.get(key) for its in said)) for key in keys[3])


def _is_of_both(base: str | None, ours: str | None, theirs: str | None, merged: str | None) -> bool:
    if ours == theirs or theirs == base:
        return merged == ours
    return ours != base or merged == theirs


def said_of(texts: Iterable[str]) -> dict[Key, str]:
    """What some statements say of each thing they are about, evenly spaced; comments are no part of it."""
    said: dict[Key, list[str]] = {}
    for text in texts:
        for key, its in _said(without_comments(words_of(text))):
            said.setdefault(key, []).append(" ".join(its))
    return {key: "\n".join(its) for key, its in said.items()}


def _said(words: Sequence[str]) -> Iterable[tuple[Key, Sequence[str]]]:
    pieces = [(key, (words[0], *its)) for key, its in pieces_of(words)] if is_list(words) else []
    return pieces or [(key, words) for key in keys_of(words) or [("words", *words)]]
