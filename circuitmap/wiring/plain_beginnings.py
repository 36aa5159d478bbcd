"""With which plain letters may what a pattern finds begin? Looking for those is quicker than compiling the pattern."""

import re
from functools import cache

_HEAD = re.compile(r"(?:[\w ](?![?*{]))+")
_CHOICE = re.compile(r"\(\?:([^()]*)\)(?![?*{])")


def head_of(pattern: str) -> str:
    """The plain letters and blanks with which a pattern begins; empty where it begins otherwise."""
    head = _HEAD.match(pattern)
    return head[0] if head is not None else ""


@cache
def beginnings_of(patterns: tuple[str, ...]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each pattern (with no choice outside of a group) with its beginnings, one of which a text must hold; none, where
    one of them is not plain."""
    found = []
    for pattern in patterns:
        choice = _CHOICE.match(pattern)
        heads = tuple(map(head_of, choice[1].split("|") if choice else (pattern,)))
        found.append((pattern, heads if all(heads) else ()))
    return tuple(found)


def may_match(pattern_beginnings: tuple[str, ...], text: str) -> bool:
    """Whether a text holds one of a pattern's beginnings."""
    return not pattern_beginnings or any(its in text for its in pattern_beginnings)
