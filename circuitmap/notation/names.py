"""What may be a name on a diagram."""

import re

from circuitmap.quantities import UNIT_BY_SUFFIX

LONGEST_NAME = 80
"""Most characters in one name."""
DEEPEST_NAME = 8
"""Most levels in one name: `CAB.K4.86` has three."""

LEVEL = r"[A-Za-z0-9_/+]+(?:-[A-Za-z0-9_/+]+)*"
"""What stands between two points of a name, as a regular expression."""
_MINUS = r"-(?=[ \t\r\n,)#]|\Z)"  # a word ends behind it: otherwise it begins an arrow, or joins two pieces
NAME = rf"(?:{LEVEL}(?:{_MINUS})?|{_MINUS})(?:\.(?:{LEVEL}(?:{_MINUS})?|-))*"
"""A name in the text, perhaps with its pin, as a regular expression that captures nothing: a pin may be printed `-` or
`B-`. The grammar writes it out once more; a test compares the two."""

STATEMENT_WORDS = (
    "platform", "option", "naming", "colours", "battery", "box", "key", "switch", "relay", "fuse", "link", "breaker",
    "diode", "resistor", "splice", "connector", "terminal", "ground", "bar", "stated", "module", "lamp", "motor",
    "heater", "solenoid", "horn", "socket", "sensor", "starter", "alternator", "charger", "load", "output",
    "network", "star", "gateway", "sheet",
)  # fmt: skip
"""The words that a statement can begin with, in the order of the grammar; none of them is a name."""

_STATEMENT_WORDS = frozenset(STATEMENT_WORDS)
_QUANTITY = re.compile(rf"[0-9]+(?:\.[0-9]+)?(?:{'|'.join(UNIT_BY_SUFFIX)})\Z")
_LETTER_OR_DIGIT = re.compile(r"[A-Za-z0-9]")


def complaint_about_name(name: str) -> str:
    """Why this cannot name anything, as a sentence; empty when it can."""
    if name in _STATEMENT_WORDS:
        return f"`{name}` is a word of the notation, not a name."
    if is_quantity(name):
        return f"{name} is a quantity, not a name."
    if name.endswith("-") and "." not in name and name != "-":
        return f"{name} ends in a minus: only a pin does, behind a point."
    if not _LETTER_OR_DIGIT.search(name):
        return f"{name} has no letter and no digit: it is not a name."
    if len(name) > LONGEST_NAME:
        return f"This name is longer than {LONGEST_NAME} characters."
    if name.count(".") >= DEEPEST_NAME:
        return f"This name has more than {DEEPEST_NAME} levels."
    return ""


def is_quantity(name: str) -> bool:
    return name[0].isdigit() and bool(_QUANTITY.match(name))
