"""What became of the draw once something was out, or in again, in words and without a figure."""

from typing import Literal, get_args

from circuitmap.failures import WrongUse

Change = Literal["gone", "less", "no change", "again"]
"""`again`: it is there again once all is in."""
CHANGES: tuple[Change, ...] = get_args(Change)

_SAID_ALSO: dict[str, Change] = {
    "it is gone": "gone", "draw gone": "gone", "back to normal": "gone", "normal": "gone", "down to normal": "gone",
    "down": "less", "lower": "less", "it is less": "less", "dropped": "less", "some of it gone": "less",
    "unchanged": "no change", "no difference": "no change", "same": "no change", "the same": "no change",
    "still there": "no change", "stays": "no change", "nothing changed": "no change", "did not change": "no change",
    "back again": "again", "there again": "again", "draws again": "again", "came back": "again", "it is back": "again",
}  # fmt: skip


def is_change(text: str) -> bool:
    """Whether a text is one of these words, or what people say for it."""
    said = _said(text)
    return said in CHANGES or said in _SAID_ALSO


def written_change(text: str) -> Change:
    """One of `CHANGES` from what was written; raises WrongUse."""
    said = _said(text)
    found = next((change for change in CHANGES if change == said), _SAID_ALSO.get(said))
    if found is None:
        raise WrongUse(f"{text} does not say what became of the draw.", f"Write {', '.join(CHANGES[:-1])} or again.")
    return found


def _said(text: str) -> str:
    return " ".join(text.casefold().split())
