"""Where a probe is held, as it is typed."""

from circuitmap.failures import WrongUse
from circuitmap.wiring.names import find_part, find_terminal
from circuitmap.wiring.parts import SECOND, Fuse, Load, Terminal
from circuitmap.wiring.platform import Platform


def probe_point(platform: Platform, written: str) -> Terminal:
    """The terminal that a probe is held to: of a fuse its outgoing side, of a load with one supply pin that pin."""
    try:
        name = find_part(platform, written)
    except WrongUse:
        try:
            return find_terminal(platform, written)
        except WrongUse as no_terminal:
            owner, _, pin = written.rpartition(".")
            try:  # the sides of a fuse are known also where no wire is typed in for them
                name = find_part(platform, owner)
            except WrongUse:
                raise no_terminal from None
            if isinstance(platform.parts[name], Fuse) and pin in ("1", "2"):
                return Terminal(name, pin)
            raise no_terminal from None
    part = platform.parts[name]
    if isinstance(part, Fuse):
        return Terminal(name, SECOND)
    if part.kind == "battery":
        return Terminal(name, "+")
    if isinstance(part, Load) and len(part.pins_with("supply")) == 1:
        return Terminal(name, part.pins_with("supply")[0])
    return find_terminal(platform, name)
