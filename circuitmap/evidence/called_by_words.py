"""What a part is called by its description, and which of the few parts that are out somebody means who calls one so:
"alternator renewed".

A description gives two names: all its words, and those before its first comma, which is what people say ("the cool box"
for "cool box, compressor with control"). Ratings and what fills in between are no part of a name.

What is out is counted among what is out, not on all sheets: the part that was taken out is the one that is spoken of,
unless the words are those of another.
"""

import re
from collections.abc import Collection, Iterator

from circuitmap.wiring.parts import Battery, Load, Relay, Switch
from circuitmap.wiring.platform import Platform

FILLS = ("a", "an", "the", "of", "on", "in", "at", "for", "its", "from", "to")
"""What stands between the words of a description without being one of them."""
RATING = re.compile(r"\d[\d.,]*\s*(?:m?[avw]|ah|kw|volts?|amps?|watts?)(?!\w)")
"""A rating in a description, in small letters: nobody says it who calls the part by its name."""
_WORD = re.compile(r"[\w'/-]+")
_BETWEEN = re.compile(rf"[\s,]+(?:(?:{'|'.join(FILLS)}|\d[\d.,]*\s*[A-Za-z]+)[\s,]+)*")


def by_their_names(platform: Platform, words: str, out: Collection[str], then: Collection[str]) -> str:
    """`words` with the name of a part that is out in the place of what it is called. `then` are the words one of which
    may follow a description: "alternator belt" is no alternator."""
    for name in out:
        for called in called_words(platform, name):
            if not _is_anothers(platform, name, called, out) and not _means_another(platform, name, called, words):
                words = _put(name, called, words, then)
    return words


def _put(name: str, called: frozenset[str], words: str, then: Collection[str]) -> str:
    return _said(called, then).sub(lambda its: name if words_of(its[0]) == called else its[0], words)


def speaks_of_another(platform: Platform, words: str, name: str) -> bool:
    """Whether words name another part than this one, or something of another kind, by its name or what it is called."""
    said = {word.casefold() for word in _WORD.findall(words)}
    own = {word for called in called_words(platform, name) for word in called} | _kinds(platform, name)
    for other, part in platform.parts.items():
        if other == name:
            continue
        its = (called for called in called_words(platform, other) if not called <= own)
        if other.casefold() in said or any(called <= said for called in its):
            return True
        if part.kind not in own and part.kind in said:
            return True
    return False


def _kinds(platform: Platform, name: str) -> set[str]:
    part = platform.parts.get(name)
    return {part.kind} if part is not None else set()


def called_words(platform: Platform, name: str) -> Iterator[frozenset[str]]:
    """The words of a part's description, and those before its first comma; none of a fuse or plug, which is called
    after what it belongs to."""
    part = platform.parts.get(name)
    if isinstance(part, Load | Relay | Switch | Battery):
        whole, short = words_of(part.description), words_of(part.description.partition(",")[0])
        yield from dict.fromkeys(its for its in (whole, short) if its)


def words_of(text: str) -> frozenset[str]:
    """The words of a description in small letters; ratings and what fills in are none of them."""
    return frozenset(_WORD.findall(RATING.sub(" ", text.casefold()))) - frozenset(FILLS)


def _is_anothers(platform: Platform, name: str, called: frozenset[str], out: Collection[str]) -> bool:
    """Whether something else that is out is called so, too."""
    return any(called in called_words(platform, other) for other in out if other != name)


def _means_another(platform: Platform, name: str, called: frozenset[str], words: str) -> bool:
    """Whether what is said besides is of another part that is called so: "the right door lamp", with the left one
    out."""
    own, said = frozenset[str]().union(*called_words(platform, name)), words_of(words)
    others = (frozenset[str]().union(*called_words(platform, o)) for o in platform.parts if o != name)
    return any(called <= its and (its - own) & said for its in others)


def _said(called: frozenset[str], then: Collection[str]) -> re.Pattern[str]:
    """These words in any order, one behind the other, and what may follow."""
    one = "|".join(sorted(map(re.escape, called), key=lambda its: (-len(its), its)))
    after = "|".join(sorted(then))
    rating = r"(?:[\s,]+\d[\d.,]*\s*[A-Za-z]+\b)?"
    run = rf"(?:{one}){f'(?:{_BETWEEN.pattern}(?:{one})){{{len(called) - 1}}}' if len(called) > 1 else ''}"
    return re.compile(rf"(?<![\w.-]){run}{rating}(?=\s*(?:[;,:.]|$)|\s+(?:{after})\b)", re.IGNORECASE)
