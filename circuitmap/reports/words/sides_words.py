"""What is opened before something between two batteries is touched, in words."""

from collections.abc import Iterable

from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.between_batteries import live_from_both
from circuitmap.wiring.platform import Platform


def what_to_open(platform: Platform, names: Iterable[str]) -> str:
    """`open FA.F11 and F90 first (or all ground leads off)`; by the ground leads alone where there is no such fuse on
    one of the sides."""
    fuses: dict[str, None] = {}
    for its in filter(None, (live_from_both(platform, name) for name in names)):
        if not (its.one.fuse and its.other.fuse):
            return "all ground leads off first, on last"
        fuses |= dict.fromkeys((its.one.fuse, its.other.fuse))
    return f"open {joined(list(fuses))} first (or all ground leads off, on last)"
