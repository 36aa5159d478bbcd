"""What the parser could have read, in the words of people who write the notation."""

from collections.abc import Iterable, Sequence
from functools import cache

from circuitmap.notation.parser import END, Token, table

# What a name stands for, by the keyword before it.
_NAMES = {
    "closes": "a terminal of the switch", "to": "a terminal", "coil": "a terminal of the coil",
    "contact": "a terminal of the contact", "rest": "a terminal", "positions": "a position", "in": "a position",
    "by": "the name of a module", "if": "the name of an option", "not": "the name of an option",
    "option": "the name of an option", "supply": "a pin", "ground": "a pin", "wake": "a pin", "sense": "a pin",
    "control": "a pin", "from": "a pin", "output": "a pin such as BCM.C3", "on": "the name of a network",
    "joins": "the name of a network", "passes": "the name of a network", "members": "the name of a module",
    "inside": "the name of a part", "or": "the name of an option", "reset": "a terminal of the coil", "signal": "a pin",
    "while": "awake, or an input pin", "and": "an input pin",
    "leg": "the name of a module", "needs": "a supply pin", "row": "a fuse such as F22", "named": "a name for the wire",
    "feeds": "a name such as CAB.F22",
}  # fmt: skip

# What a quantity says, by the keyword before it.
_QUANTITIES = {
    "fuse": "a rating such as 20A", "link": "a rating such as 100A", "breaker": "a rating such as 20A",
    "battery": "a capacity such as 72Ah", "diode": "a resistance", "resistor": "a resistance such as 120ohm",
    "supply": "a voltage such as 12V", "sleep": "a time such as 20min..40min", "limit": "a current such as 50mA",
    "reach": "a time such as 15min", "run-on": "a time such as 4min", "every": "a time such as 60min",
    "asleep": "a current such as 2mA",
    "awake": "a current such as 300mA..400mA", "running": "a current such as 3A, or watts such as 21W",
    "feeds": "a voltage such as 12V", "cavities": "how many, such as 32",
    "holds": "a time such as 15min", "for": "a time such as 10min", "with": "a resistance such as 680ohm",
}  # fmt: skip

_CLAUSES = ("at", "number", "reach", "if", "copied", "hands-off", "care", "not")
STYLES = ("mini", "regular", "maxi", "low", "two-tab", "three-tab", "cartridge", "bolted", "glass", "torpedo")
_MOST_NAMED = 8


@cache
def keywords() -> dict[str, str]:
    """Terminal -> the keyword or sign that it is, for those that are always written the same way."""
    return {terminal: written for written, terminal in table().literals.items()}


def expected_words(accepts: Iterable[str], tokens: Sequence[Token]) -> str:
    """What may stand after `tokens`, as one phrase: "a rating such as 20A, `,` or the end of the statement"."""
    accepts = set(accepts)
    words = [keywords()[terminal] for terminal in accepts if terminal in keywords()]
    said = [token.text for token in tokens]
    phrases: list[str] = []
    if not tokens:
        return "a statement word such as fuse, module or sheet, or a wire such as A -> B"
    if "NAME" in accepts:
        phrases.append(_latest(said, _NAMES, "a name"))
    if "STRING" in accepts:
        phrases.append("a text in quotes")
    if "QUANTITY" in accepts or "RANGE" in accepts:
        phrases.append(_latest(said, _QUANTITIES, "a size such as 0.75mm2"))
    for terminal, phrase in (
        ("COLOUR", "a colour such as BK/WH"), ("YEARS", "years such as 2016-2020"),
        ("PATTERN", "the beginning of names such as SP*"), ("LETTERS", "letters for a colour"),
    ):  # fmt: skip
        if terminal in accepts:
            phrases.append(phrase)
    clauses = [word for word in _CLAUSES if word in words]
    grouped = set(clauses)
    if all(style in words for style in STYLES):
        phrases.append("a style such as mini")
        grouped.update(STYLES)
    others = [word for word in sorted(words, key=_rank) if word not in grouped]
    phrases.extend(f"`{word}`" for word in others[:_MOST_NAMED])
    if len(clauses) > 2:
        phrases.append("a clause such as `at`")
    else:
        phrases.extend(f"`{word}`" for word in clauses)
    if END in accepts:
        phrases.append("the end of the statement")
    return joined(phrases)


def joined(phrases: Sequence[str]) -> str:
    if len(phrases) < 2:
        return "".join(phrases)
    return f"{', '.join(phrases[:-1])} or {phrases[-1]}"


def _latest(said: list[str], meanings: dict[str, str], otherwise: str) -> str:
    return next((meanings[word] for word in reversed(said) if word in meanings), otherwise)


def _rank(word: str) -> tuple[bool, str]:
    """Signs first, then words in alphabetical order."""
    return word[0].isalpha(), word
