"""What tells who the customer is: the words of their name, numbers to ring them at, addresses to write to."""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from circuitmap.jobs.folded import HYPHENS, folded, needs_no_blank, with_short_umlauts
from circuitmap.jobs.ordinary_words import NEVER_NAMES_ALONE

PRIVATE_KEYS = ("customer", "phone")
"""Keys of a card's intake that never leave the shop."""

LONGEST_PRIVATE = 200
"""Most characters that each may have on a card that is shared: a name can be searched for, a story cannot."""

SHORTEST_NUMBER = 6
"""Fewest digits that count as a telephone number, whatever stands around them (judgement)."""

SHORTEST_INSIDE = 4
"""Fewest letters of a name that is also searched for in the middle of words: shorter ones are in every other word."""

_NOT_IN_ADDRESS = re.compile(r"[\s@,;:<>()\"\[\]]")
_LONGEST_BEFORE_AT, _LONGEST_AFTER_AT = 64, 255
"""Most characters on either side of the @ in an address (memory: the standard of mail)."""

_PROVIDERS = frozenset(("gmail", "googlemail", "mail", "email", "web", "outlook", "hotmail", "yahoo", "icloud", "www"))
_JOINS = "'\u2019\u02bc\u0060\u00b4" + HYPHENS
"""What joins two words of a name: apostrophes and hyphens."""


@dataclass(frozen=True, slots=True)
class NameWord:
    """One word of the name. `letters` is folded, `short` with umlauts as one letter; `spaced` finds it with its letters
    spaced out. `part_of_name`: it is a piece of a name that is written without blanks."""

    letters: str
    short: str
    spaced: re.Pattern[str] | None
    part_of_name: bool = False


@dataclass(frozen=True, slots=True)
class CustomerWords:
    """`numbers` are strings of digits, `short_numbers` those that might be anything else; `initials` those of the name
    in order; `whole` are the texts themselves, folded, where they are more than their words and numbers."""

    words: tuple[NameWord, ...]
    whole: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()
    short_numbers: tuple[str, ...] = ()
    initials: str = ""

    def __bool__(self) -> bool:
        return bool(self.words or self.whole or self.numbers or self.short_numbers)


def customer_words(texts: Iterable[str]) -> CustomerWords:
    """What must not be seen of the customer, taken from the texts of `PRIVATE_KEYS`."""
    names: dict[str, str] = {}
    numbers: list[str] = []
    short: list[str] = []
    initials = ""
    whole: list[str] = []
    for text in texts:
        own = _names_in(text)
        its = " ".join(folded(text).text.split())
        if len(its) > 1 and not its.isdigit() and its not in own:
            whole.append(its)
        names |= own
        initials = initials or "".join(word[0] for word in own if word not in NEVER_NAMES_ALONE)
        its_numbers, its_short = _numbers_in(text)
        numbers += its_numbers
        short += its_short
    kept = {word: written for word, written in names.items() if word not in NEVER_NAMES_ALONE} or names
    longer = {word: written for word, written in kept.items() if len(word) > 1 or needs_no_blank(word)}
    words: dict[str, NameWord] = {}
    for word, written in (longer or kept).items():
        if word.endswith("y") and len(word) >= SHORTEST_INSIDE:
            words[f"{word[:-1]}ie"] = _name_word(f"{word[:-1]}ie", f"{written[:-1]}ie")  # the Kennedies
        words[word] = _name_word(word, written)
        for piece in _pieces(written):
            words.setdefault(folded(piece).text, _name_word(folded(piece).text, piece, part_of_name=True))
    return CustomerWords(
        words=tuple(sorted(words.values(), key=lambda word: (-len(word.letters), word.letters))), whole=tuple(whole),
        numbers=tuple(dict.fromkeys(numbers)), short_numbers=tuple(dict.fromkeys(short)),
        initials=initials if len(initials) > 1 else "",
    )  # fmt: skip


def addresses_in(text: str) -> Iterable[tuple[int, int]]:
    """Where e-mail addresses stand in a text."""
    end = 0
    at = text.find("@")
    while at >= 0:
        first = max(end, at - _LONGEST_BEFORE_AT)
        before = [match.end() for match in _NOT_IN_ADDRESS.finditer(text, first, at)]
        start = before[-1] if before else first
        stop = _NOT_IN_ADDRESS.search(text, at + 1, at + 1 + _LONGEST_AFTER_AT)
        end = stop.start() if stop is not None else min(len(text), at + 1 + _LONGEST_AFTER_AT)
        while end > at and text[end - 1] in ".-":
            end -= 1
        if start < at and "." in text[at + 2 : end - 1]:
            yield start, end
        at = text.find("@", at + 1)


def word_to_hide(written: str) -> NameWord:
    """Another word that somebody wants hidden."""
    return _name_word(folded(written).text, written)


def _names_in(text: str) -> dict[str, str]:
    """Folded -> as written: each run of letters, and also what a hyphen or an apostrophe joins, as one."""
    found: dict[str, str] = {}
    rest = text
    for start, end in addresses_in(text):
        local, _, domain = text[start:end].rpartition("@")
        rest = f"{rest[:start]}{' ' * (end - start)}{rest[end:]}"
        labels = domain.split(".")[:-1]
        for name in (local, *(label for label in labels if folded(label).text not in _PROVIDERS)):
            found |= {folded(word).text: word for word in _runs_of_letters(name)}
    found |= {folded(word).text: word for word in _runs_of_letters(rest)}
    for blank in rest.split():
        parts = _runs_of_letters(blank, _JOINS)
        found |= {folded(whole).text: whole for part in parts if (whole := "".join(_runs_of_letters(part)))}
    return found


def _runs_of_letters(text: str, joins: str = "") -> list[str]:
    """Letters that stand together, with their marks; characters of `joins` may stand between them. Invisible characters
    are left out."""
    runs: list[str] = []
    open_run = False
    for character in unicodedata.normalize("NFC", text):
        kind = unicodedata.category(character)
        if kind[0] == "L" or (open_run and (kind[0] == "M" or character in joins)):
            if open_run:
                runs[-1] += character
            else:
                runs.append(character)
            open_run = True
        elif kind != "Cf":
            open_run = False
    return [run for run in runs if folded(run).text]


def _pieces(written: str) -> Iterable[str]:
    """What a name written without blanks may begin and end with: the family name, the given name."""
    if not needs_no_blank(written[0]):
        return
    for length in range(1, min(len(written), 4)):
        yield written[:length]
    for length in range(2, min(len(written), 4)):
        yield written[-length:]


def _name_word(letters: str, written: str, part_of_name: bool = False) -> NameWord:
    spaced = None
    if len(letters) > 2 and not needs_no_blank(letters[0]):
        apart = r"[ ._*|/\-]".join(re.escape(letter) for letter in letters)
        spaced = re.compile(apart)
    short = with_short_umlauts(folded(written)).text if len(letters) >= SHORTEST_INSIDE else letters
    return NameWord(letters, short, spaced, part_of_name)


def _numbers_in(text: str) -> tuple[list[str], list[str]]:
    """The numbers in a text: all digits that nothing but signs separates, and the last group alone, as people in the
    same place write it."""
    long: list[str] = []
    short: list[str] = []
    its = folded(text).text
    for found in re.finditer(r"\d(?:[^\w,;]{0,4}\d)*", its):
        digits = "".join(character for character in found[0] if character.isdigit())
        if len(digits) >= SHORTEST_NUMBER:
            long.append(digits)
            last = re.split(r"\D+", found[0])[-1]
            if 4 <= len(last) < SHORTEST_NUMBER:
                short.append(last)
        elif len(digits) > 2:
            short.append(digits)
    return long, short
