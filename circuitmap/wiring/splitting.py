"""Where a written name ends and a pin begins, by the names that are known and those that need no declaration."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from circuitmap.wiring.parts import BODY, Box, Part
from circuitmap.wiring.pins import WITHOUT_PINS, has_printed_pins


class SplitName(NamedTuple):
    """A name cut in two. Where no part is called so yet, `kind` is what a `naming` line makes of it, and `begins` the
    beginning by which it does; without a kind nobody declared it."""

    name: str
    pin: str
    kind: str = ""
    begins: str = ""


def split_name(text: str, parts: Mapping[str, Part], patterns: Iterable[tuple[str, str]]) -> SplitName:
    """The longest name that is a part, and the rest, which is its pin; `patterns` are beginnings and kinds, the longest
    beginning first."""
    levels = text.split(".")
    for count in range(len(levels), 0, -1):
        head = ".".join(levels[:count])
        part = parts.get(head)
        if part is not None and not (isinstance(part, Box) and count < len(levels)):
            return SplitName(head, ".".join(levels[count:]))
    if levels[0] == BODY:
        return SplitName(BODY, ".".join(levels[1:]), "ground", BODY)
    owner = _before_a_stroke(text, parts)
    if owner:
        return SplitName(owner, text[len(owner) + 1 :])
    in_box = isinstance(parts.get(levels[0]), Box)
    for prefix, kind in patterns:
        before = int(in_box and "." not in prefix)  # the beginning of what sits in the box
        count = before + prefix.count(".") + 1
        head, pin = ".".join(levels[:count]), ".".join(levels[count:])
        begins = ".".join(levels[before:count])
        if begins.startswith(prefix) and len(begins) > len(prefix) and (not pin or kind not in WITHOUT_PINS):
            full = head.removesuffix(begins) + prefix
            owner = head.rpartition("/")[0] if has_printed_pins(kind) and not pin else ""
            if len(owner) > len(full) and owner.startswith(full):  # X1/1, whether X1 was met before or not
                return SplitName(owner, head[len(owner) + 1 :], kind, full)
            return SplitName(head, pin, kind, full)
    count = min(2 if in_box else 1, len(levels))
    return SplitName(".".join(levels[:count]), ".".join(levels[count:]))


def _before_a_stroke(text: str, parts: Mapping[str, Part]) -> str:
    """`E20` of `E20/2`, as sheets print terminal 2 of E20, where a part is called E20 and none E20/2. A fuse or a thing
    unknown that was only met in another wire does not count: what a text means must not hang on its order."""
    at = text.rfind("/")
    while at > 0:
        part = parts.get(text[:at])
        may_have_pins = part is not None and not isinstance(part, Box) and part.kind not in WITHOUT_PINS
        if part is not None and may_have_pins and (has_printed_pins(part.kind) or part.declared is not None):
            return text[:at]
        at = text.rfind("/", 0, at)
    return ""
