"""A text as it is compared with a name: capital and small letters, accents, wide and joined letters all alike.

What cannot be seen (marks on a letter, soft hyphens, signs of direction, control characters) is left out. For each
character it is kept where it stood, so that what is found can be hidden in the text as it was typed.
"""

import unicodedata
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import lru_cache

_SPELT_OUT = {
    "ß": "ss", "ẞ": "ss", "ø": "o", "Ø": "o", "æ": "ae", "Æ": "ae", "œ": "oe", "Œ": "oe", "đ": "d", "Đ": "d",
    "ł": "l", "Ł": "l", "ı": "i", "þ": "th", "Þ": "th", "ð": "d", "Ð": "d", "ħ": "h", "Ħ": "h", "ŋ": "ng", "Ŋ": "ng",
}  # fmt: skip
"""Letters that Unicode does not take apart."""

_WITHOUT_BLANKS = frozenset(("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "BOPOMOFO", "THAI", "LAO", "KHMER", "MYANMAR"))
"""How the names of letters begin in scripts whose words stand without blanks between them, or take endings without
one."""


@dataclass(frozen=True, slots=True)
class Folded:
    """`text` is the folded text, `at[n]` where its character n stood in `written`."""

    written: str
    text: str
    at: tuple[int, ...]

    def is_letter(self, place: int) -> bool:
        return 0 <= place < len(self.text) and is_letter(self.text[place])

    def is_big(self, place: int) -> bool:
        return self.written[self.at[place]].isupper()

    def is_small(self, place: int) -> bool:
        return self.written[self.at[place]].islower()

    def is_parted(self, place: int) -> bool:
        """Whether something invisible that is not a mark on a letter stands before this character."""
        between = self.written[self.at[place - 1] + 1 : self.at[place]]
        return any(unicodedata.category(character)[0] != "M" for character in between)

    def place_in(self, other: "Folded", start: int, end: int) -> tuple[int, int]:
        """Where a stretch of this folded text stands in `other`, folded from the same text with more of it kept: with
        the letters after it that were left out here."""
        if other is self:
            return start, end
        first, last = bisect_left(other.at, self.at[start]), bisect_right(other.at, self.at[end - 1])
        following = self.at[end] if end < len(self.at) else len(self.written)
        while last < len(other.at) and other.at[last] < following and other.is_letter(last):
            last += 1
        return first, last

    def stretch(self, start: int, end: int) -> tuple[int, int]:
        """Where a stretch of the folded text stands in the written one, with the marks that follow its last letter."""
        first, last = self.at[start], self.at[end - 1] + 1
        while last < len(self.written) and not fold_character(self.written[last]):
            last += 1
        return first, last


def folded(written: str) -> Folded:
    pieces = [fold_character(character) for character in written]
    at = [place for place, piece in enumerate(pieces) for _ in piece]
    return Folded(written, "".join(pieces), tuple(at))


@lru_cache(maxsize=65536)
def fold_character(character: str) -> str:
    """One character folded; empty for one that is not visible by itself."""
    if character in _SPELT_OUT:
        return _SPELT_OUT[character]
    kept = []
    for piece in unicodedata.normalize("NFKD", character):
        kind = unicodedata.category(piece)
        if kind in ("Mn", "Me", "Cf", "Cs", "Co", "Cn") or (kind == "Cc" and not piece.isspace()):
            continue
        kept.append(str(unicodedata.digit(piece)) if kind == "Nd" else piece.casefold())
    return "".join(kept)


def is_letter(character: str) -> bool:
    return unicodedata.category(character)[0] in "LM"


def is_word(text: str) -> bool:
    return all(map(is_letter, text))


@lru_cache(maxsize=65536)
def needs_no_blank(character: str) -> bool:
    """Whether words in this letter's script stand without blanks between them."""
    return unicodedata.name(character, "").partition(" ")[0] in _WITHOUT_BLANKS and not character.isascii()


def with_short_umlauts(its: Folded) -> Folded:
    """`Müller`, `Mueller` and `Muller` alike: the second letter of ae, oe, ue and aa is left out."""
    text = its.text
    kept = [n for n, c in enumerate(text) if not (n and (text[n - 1] + c) in ("ae", "oe", "ue", "aa"))]
    return _only(its, kept)


def without_hyphens(its: Folded) -> Folded:
    """Without hyphens inside a word or at the end of a line."""
    kept: list[int] = []
    at = 0
    while at < len(its.text):
        if its.text[at] in HYPHENS and its.is_letter(at - 1):
            after = at + 1
            while after < min(len(its.text), at + 3) and its.text[after].isspace():
                after += 1
            if its.is_letter(after):
                at = after
                continue
        kept.append(at)
        at += 1
    return _only(its, kept)


def _only(its: Folded, kept: list[int]) -> Folded:
    if len(kept) == len(its.text):
        return its
    return Folded(its.written, "".join(its.text[n] for n in kept), tuple(its.at[n] for n in kept))


HYPHENS = "-\u2010\u2011"
