"""The fuses that are bolted straight on a battery: their metal is the battery's plus, whatever else is out; and which
of the thick cables have one; and what somebody added there without any."""

from circuitmap.wiring.parts import SECOND, Battery, Fuse, Joint, Load, Terminal
from circuitmap.wiring.platform import Platform

LARGEST_BLADE = 40.0
"""Amperes of the largest fuse of the usual blade size (from memory: they go up to 40 A, the large size to 80 A or
100 A). A larger one of which no style was typed in is taken for bolted: nobody is hurt by a caution too many."""

_BOLTED = ("bolted", "")


def bolted_at_battery(platform: Platform) -> frozenset[str]:
    """The names of those fuses and links between whose feed and a battery is nothing but cable, or another of them."""
    parts = platform.parts
    found: set[str] = set()
    todo = [Terminal(part.name, "+") for part in parts.values() if isinstance(part, Battery)]
    while todo:
        for terminal in platform.nets.of(todo.pop()):
            fuse = parts.get(terminal.part)
            if not isinstance(fuse, Fuse) or fuse.name in found or terminal.pin == SECOND or not _is_bolted(fuse):
                continue
            found.add(fuse.name)
            todo.append(Terminal(fuse.name, SECOND))
    return frozenset(found)


def _is_bolted(fuse: Fuse) -> bool:
    if fuse.empty or fuse.kind == "breaker":
        return False
    large = fuse.style == "bolted" or (fuse.rating or 0.0) > LARGEST_BLADE
    return fuse.kind == "link" or (fuse.style in _BOLTED and large)


def has_fused_cable(platform: Platform, name: str) -> bool:
    """Whether the cable of an alternator or starter comes from a fuse, by the sheets, and from no battery besides. A
    fusible link is none: nobody pulls it."""
    part = platform.parts[name]
    posts = (Terminal(name, pin) for pin in (part.pins_with("supply") if isinstance(part, Load) else ()))
    ends = [platform.parts.get(its.part) for post in posts for its in platform.nets.of(post)]
    return any(isinstance(its, Fuse) and its.kind != "link" for its in ends) and not any(
        isinstance(its, Battery) for its in ends
    )


def hangs_on_post(platform: Platform, fed_from: str) -> bool:
    """Whether what is fed from here hangs on a battery's post with no fuse between: it is the battery, or a splice, bar
    or ring terminal that is joined with its post by nothing but cable."""
    its = platform.parts.get(fed_from)
    if isinstance(its, Battery):
        return True
    if not isinstance(its, Joint) or its.kind == "connector":
        return False
    posts = [Terminal(part.name, pin) for part in platform.parts.values() if isinstance(part, Battery)
             for pin in ("+", "mid")]  # fmt: skip
    return any(end.part == fed_from for post in posts for end in platform.nets.of(post))
