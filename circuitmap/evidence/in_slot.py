"""What fuse is in a slot on this car, where the sheets give no size, or say another: `FC4: 10A`, `F7: 20A mini`.

It says what a drop across that fuse is worth. That somebody fitted another one than belongs there is no fault by
itself; a larger one is never left in.
"""

from dataclasses import replace
from typing import NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.source import Span
from circuitmap.wiring.names import find_part
from circuitmap.wiring.parts import FUSE_STYLES, Fuse
from circuitmap.wiring.platform import Platform

HOW = f"For example: in-slot F4 10A, or with its style: in-slot F4 10A mini ({', '.join(FUSE_STYLES)})"


class FuseInSlot(NamedTuple):
    """The fuse that is in the slot of this name: its rating in A, and its style (empty: not said)."""

    name: str
    amps: float
    style: str = ""
    span: Span | None = None


def fuse_in_slot(platform: Platform, name: str, said: str, span: Span | None = None) -> FuseInSlot:
    """What is in a slot, as somebody wrote it; raises WrongUse for what is no slot of a fuse, or no fuse."""
    slot = find_part(platform, name)
    part = platform.parts[slot]
    if not isinstance(part, Fuse) or part.kind != "fuse":
        raise WrongUse(f"{slot} is not a fuse: nothing of this size is in it.", HOW)
    words = said.replace(",", " ").split()
    styles = [word for word in words if word.casefold() in FUSE_STYLES]
    rest = " ".join(word for word in words if word not in styles)
    try:
        amps = read_quantity(rest, "current")
    except QuantityError as failure:
        raise WrongUse(f"{slot} {said}: a fuse of how many amperes? {failure}", HOW) from None
    if len(styles) > 1 or amps <= 0.0:
        raise WrongUse(f"{slot} {said} is no fuse.", HOW)
    return FuseInSlot(slot, amps, styles[0].casefold() if styles else "", span)


def as_it_is(fuse: Fuse, there: FuseInSlot | None) -> Fuse:
    """A fuse as the sheets have it, or as it is in this car."""
    if there is None:
        return fuse
    return replace(fuse, rating=there.amps, style=there.style or fuse.style, empty=False)
