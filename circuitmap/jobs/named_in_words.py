"""What on the sheets the words of a cause, or of what was mended, name: parts, their pins, and wires by their code."""

import re
from collections import Counter
from collections.abc import Collection, Iterator

from circuitmap.diagnosis.seen.experience import part_in
from circuitmap.failures import WrongUse
from circuitmap.wiring.names import find_terminal
from circuitmap.wiring.parts import Battery, Ground, Load, Relay, Switch
from circuitmap.wiring.platform import Platform

WORD = re.compile(r"[^\s,;:()]+")

_BEFORE_A_CODE = ("wire", "wires", "cable", "lead", "core", "conductor", "number", "no", "nr")
"""Words before a wire's code; without one of these a code that is a bare number is no code: it may be a rating."""


def names_in(platform: Platform, words: str, added: Collection[str]) -> list[str]:
    """Everything that is named, in its order, by full names or unique tails. A pin names its part, too; a wire's code
    also the parts at its ends, but neither a battery nor a ground point: nearly everything hangs there."""
    found = [name for name in added if name in words]
    before = ""
    for word in WORD.findall(words):
        word = word.rstrip(".")
        part = part_in(platform, word)
        found += [part] if part else [*_pin(platform, word), *_wire(platform, word, before)]
        before = word.casefold()
    called = ((its.start(), name) for text, name in _called(platform) if (its := _whole(text).search(words.casefold())))
    return list(dict.fromkeys((*found, *(name for _, name in sorted(called)))))


def called_first(platform: Platform, words: str) -> str:
    """The part whose description these words begin with, of several the longest; empty if none."""
    its = [(len(text), name) for text, name in _called(platform) if _whole(text).match(words.casefold())]
    return max(its)[1] if its else ""


def _called(platform: Platform) -> Iterator[tuple[str, str]]:
    """What the sheets call each part, as it is compared, with the part's name. A plug is called as what it belongs to,
    and a fuse as what it feeds: neither is meant."""
    parts = [(name, part) for name, part in platform.parts.items() if isinstance(part, Load | Relay | Switch | Battery)]
    texts = [(" ".join(part.description.casefold().split()), name) for name, part in parts]
    count = Counter(text for text, _ in texts)
    yield from ((text, name) for text, name in texts if " " in text and count[text] == 1)


def _whole(text: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(text)}(?!\w)")


def _pin(platform: Platform, word: str) -> Iterator[str]:
    if "." not in word:
        return
    try:
        pin = find_terminal(platform, word)
    except WrongUse:
        return
    yield from (str(pin), pin.part)


def _wire(platform: Platform, word: str, before: str) -> Iterator[str]:
    if before not in _BEFORE_A_CODE and not any(sign.isalpha() for sign in word):
        return
    for wire in platform.wires:
        if wire.code and wire.code == word:
            yield wire.code
            ends = (end.part for end in (wire.a, wire.b))
            yield from (name for name in ends if not isinstance(platform.parts.get(name), Battery | Ground))
