"""Taking the customer out of what leaves the shop: their keys are left out, their words hidden where they stand."""

import re
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from circuitmap.evidence.job_card import JobCard
from circuitmap.reports.card_text import PRIVATE

Value = TypeVar("Value")

HIDDEN = "[customer]"
_SHORTEST = 3
"""Shorter pieces of a name would hide parts of ordinary words."""


def private_words(card: JobCard) -> tuple[str, ...]:
    """What must not be seen: the customer's whole name, its pieces, and the telephone number, longest first."""
    words: set[str] = set()
    for key in PRIVATE:
        text = card.intake[key].value.strip() if key in card.intake else ""
        words.add(text)
        if key == "customer":
            words.update(re.findall(r"\w+", text))
    return tuple(sorted((word for word in words if len(word) >= _SHORTEST), key=lambda word: (-len(word), word)))


def redacted(value: Value, words: tuple[str, ...]) -> Value:
    """The same value with every one of `words` hidden in every text, big or small letters alike."""
    if not words:
        return value
    pattern = re.compile("|".join(rf"(?<!\w){re.escape(word)}(?!\w)" for word in words), re.IGNORECASE)
    result: Value = _redacted(value, pattern)
    return result


def _redacted(value: Any, pattern: re.Pattern[str]) -> Any:
    if isinstance(value, str):
        return pattern.sub(HIDDEN, value)
    if isinstance(value, tuple):
        items = [_redacted(item, pattern) for item in value]
        return type(value)(*items) if hasattr(value, "_fields") else tuple(items)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: _redacted(getattr(value, f.name), pattern) for f in fields(value)})
    return value
