"""Relays and switches whose contact lies between two batteries: both of its sides are live, each from its own."""

from collections import deque
from typing import NamedTuple

from circuitmap.derived import Derives
from circuitmap.wiring.parts import FIRST, SECOND, Battery, Fuse, Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform


class LiveSide(NamedTuple):
    """One side of such a contact: its `pin`, the `battery` it is live from, and the `fuse` nearest to it on the way
    there; empty: there is none, or it is a link that nobody pulls."""

    pin: str
    battery: str
    fuse: str


class BothSides(NamedTuple):
    """The two sides of a contact between two batteries."""

    one: LiveSide
    other: LiveSide


def live_from_both(platform: Platform, name: str) -> BothSides | None:
    """The sides of a relay or switch, or of the one that a plug or pin belongs to, that has a contact between two
    batteries; None for any other part. Only cable and fuses count: what comes over another contact may be dead."""
    return platform.derived(_Known).sides_of(platform, name)


class _Known:
    def __init__(self, _platform: Derives) -> None:
        self.found: dict[str, BothSides | None] = {}

    def sides_of(self, platform: Platform, name: str) -> BothSides | None:
        if name not in self.found:
            part = platform.parts.get(name) or platform.parts.get(name.rpartition(".")[0])
            self.found[name] = _sides(platform, part) if isinstance(part, Relay | Switch) else None
        return self.found[name]


def _sides(platform: Platform, part: Relay | Switch) -> BothSides | None:
    for contact in part.contacts:
        one = _live_side(platform, Terminal(part.name, contact.pin_a))
        other = _live_side(platform, Terminal(part.name, contact.pin_b))
        if one is not None and other is not None and one.battery != other.battery:
            return BothSides(one, other)
    return None


def _live_side(platform: Platform, pin: Terminal) -> LiveSide | None:
    """The battery that is nearest by the number of fuses."""
    queue: deque[tuple[Terminal, str]] = deque([(pin, "")])
    seen = {pin}
    while queue:
        at, fuse = queue.popleft()
        for there in (at, *platform.nets.of(at)):
            part = platform.parts.get(there.part)
            if isinstance(part, Battery) and there.pin == "+":
                return LiveSide(pin.pin, part.name, fuse)
            if there in seen and there != at:
                continue
            seen.add(there)
            if isinstance(part, Fuse) and not part.empty and part.name != at.part:
                beyond = Terminal(part.name, SECOND if there.pin == FIRST else FIRST)
                if beyond not in seen:
                    seen.add(beyond)
                    queue.append((beyond, fuse or (part.name if part.kind != "link" else "")))
    return None
