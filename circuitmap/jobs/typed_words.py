"""A line typed at the car, cut into words and readings, however somebody writes them.

`F22=0.46A`, `F22 0.46A`, `F22: 0.46 A` and `f22=.46a` are one reading. What has two meanings is not guessed here.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.evidence.written_readings import WORDS_FOR_DRAWS, WORDS_FOR_QUIET
from circuitmap.failures import WrongUse

_BETWEEN = re.compile(r"\s*,(?!\d)\s*|(?<!\d),\s*|\s+")
"""Words end at blanks and commas; a comma between two digits may be a decimal comma, so it stays."""

_EQUALS = re.compile(r"\s*=\s*")
_COLON = re.compile(r"(?<![^\s,])([^\s=,:]*[A-Za-z][^\s=,:]*?)\s*:\s*")
"""`F22: 0.46A`; but not the colon of a time."""

_STARTS_A_NUMBER = re.compile("[-+\u2212]?\\.?\\d")
_NUMBER_AND_REST = re.compile("([-+\u2212]?)(\\d*\\.?\\d+)\\s*([A-Za-z]*)\\Z", re.ASCII)
_BARE_NUMBER = re.compile("[-+\u2212]?\\d*\\.?\\d+\\Z", re.ASCII)

UNITS = {
    "a": "A", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "ma": "mA", "milliamp": "mA", "milliamps": "mA",
    "mv": "mV", "millivolt": "mV", "millivolts": "mV", "v": "V", "volt": "V", "volts": "V",
}  # fmt: skip
"""Units as they are typed in a hurry, in lower case, and as they are written."""

_FILLERS = ("and", "is", "reads", "shows", "&")
_LEFT_OUT = ("and", "&", "+", "the")


class Typed(NamedTuple):
    """One reading as it was typed: the place, and the amount in the card's own spelling."""

    place: str
    amount: str


def words_in(text: str) -> list[str]:
    """The words of a text, without the commas between them."""
    return [word for word in _BETWEEN.split(text) if word]


def names_in(text: str) -> list[str]:
    """The names in a list such as `LIFT, SUSP and F22`."""
    return [word for word in words_in(text) if word not in _LEFT_OUT]


def with_points(text: str) -> str:
    """Readings with `=` between place and amount, without blanks around it."""
    return _EQUALS.sub("=", _COLON.sub(r"\1=", text))


def readings_in(text: str) -> Iterator[Typed]:
    """Each place with its amount; raises WrongUse for a place without one, or an amount without a place."""
    waiting = words_in(with_points(text))
    while waiting:
        word = waiting.pop(0)
        if word in _FILLERS:
            continue
        place, equals, amount = word.partition("=")
        if not place:
            raise WrongUse(f"{word} has no place before it.", "For example: F22=0.46A")
        if not equals or not amount:
            if not waiting or not is_amount(waiting[0]):
                raise WrongUse(f"{place} has no reading after it.", HOW_TO_READ.format(place=place))
            amount = waiting.pop(0)
        if is_bare_number(amount) and waiting and waiting[0].casefold() in UNITS:
            amount += waiting.pop(0)
        yield Typed(place, as_written(amount))


HOW_TO_READ = "Write {place}=0.46A, {place}=1.6mV, {place}=draws or {place}=quiet."


def is_amount(word: str) -> bool:
    """Whether a word can stand for an amount: it begins like a number, or is `draws` or `quiet`."""
    return bool(_STARTS_A_NUMBER.match(word)) or word in WORDS_FOR_DRAWS or word in WORDS_FOR_QUIET


def is_bare_number(word: str) -> bool:
    """Whether a word is a number without a unit."""
    return bool(_BARE_NUMBER.match(word))


def as_written(amount: str) -> str:
    """An amount with a digit before its point and its unit as the card writes it: `.46a` is `0.46A`."""
    match = _NUMBER_AND_REST.match(amount)
    if match is None:
        return amount
    sign, digits, unit = match.groups()
    return f"{sign}{'0' if digits.startswith('.') else ''}{digits}{UNITS.get(unit.casefold(), unit)}"
