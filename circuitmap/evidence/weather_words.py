"""Words for what it is like outside when it happens, as drivers say it."""

import re
from typing import Literal

Kind = Literal["cold", "hot", "wet"]

WORDS: dict[Kind, frozenset[str]] = {
    "cold": frozenset(("cold", "colder", "frost", "frosty", "freezing", "frozen", "freezes", "ice", "snow", "winter")),
    "hot": frozenset(("hot", "heat", "heatwave", "summer")),
    "wet": frozenset(("wet", "rain", "rains", "rainy", "raining", "damp", "moist", "fog", "washed", "washing")),
}
"""Words for what it is like outside (our own choice)."""
_SMALL = frozenset((
    "a", "after", "an", "and", "are", "at", "but", "every", "from", "if", "in", "is", "it", "just", "mostly", "of",
    "often", "on", "only", "or", "so", "the", "then", "to", "when", "while", "with",
))  # fmt: skip


def words_of(text: str) -> frozenset[str]:
    """The words of a text that tell something, in small letters."""
    return frozenset(re.findall(r"[^\W\d_]+", text.casefold())) - _SMALL
