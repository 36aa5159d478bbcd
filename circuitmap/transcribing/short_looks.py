"""Colours and sizes without their signs: `rdbu` for RD/BU, `.75` for 0.75."""

import re
from collections.abc import Iterator, Mapping

from circuitmap.wiring.colours import NAME_OF

_SIZE = re.compile(r"(?:\d+(?:\.\d+)?|\.\d+)(?:mm2|awg)?\Z")
_MOST_COLOURS = 4
"""As many as the notation reads in one look."""


def size_of(word: str) -> str:
    """A size as the notation writes it; empty where it is none."""
    if not _SIZE.match(word) or len(word) > 15:
        return ""
    return f"0{word}" if word.startswith(".") else word


def colours_meant(word: str, letters: Mapping[str, str]) -> tuple[str, ...]:
    """All colours that a word may be, as the notation writes them: `gnye` is green and yellow, or green with a yellow
    tracer. `letters` are the maker's own. What is written with capitals just as the notation writes it means just
    that."""
    known = dict.fromkeys((*letters, *NAME_OF))
    pieces = word.split("/")
    if all(piece in known for piece in pieces) and (len(pieces) > 1 or word != word.lower()):
        return (word,) if len(pieces) <= _MOST_COLOURS else ()
    if len(word) > 4 * _MOST_COLOURS + _MOST_COLOURS - 1:
        return ()
    by_small: dict[str, list[str]] = {}
    for code in known:
        by_small.setdefault(code.casefold(), []).append(code)
    found: dict[tuple[str, ...], str] = {}
    for codes in _cut(word.casefold(), by_small, _MOST_COLOURS):  # the maker's own letters come first
        found.setdefault(tuple(letters.get(code, code) for code in codes), "/".join(codes))
    return tuple(found.values())


def _cut(word: str, by_small: Mapping[str, list[str]], most: int) -> Iterator[tuple[str, ...]]:
    """Each way to read a word as colours, one after another, with or without a stroke between them."""
    if not word:
        yield ()
        return
    if most == 0:
        return
    for small, codes in by_small.items():
        if word.startswith(small):
            rest = word[len(small) :]
            if rest.startswith("/") and len(rest) > 1:
                rest = rest[1:]
            for behind in _cut(rest, by_small, most - 1):
                yield from ((code, *behind) for code in codes)
