"""What nobody may touch, and why: the one place that decides it.

Where a part, fuse, wire, connector or network is itself hands-off, so is whatever feeds, grounds or carries it: in any
position of any switch, with any relay pulled in or not, with any equipment, and over open ends where the sheet goes on.
This errs on the side of leaving things alone: whatever lies on some way is taken to carry current there.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from circuitmap.wiring.hands_off import HandsOffReason, HandsOffThings
from circuitmap.wiring.parts import Switch, Terminal
from circuitmap.wiring.platform import Platform

How = Literal["itself", "feeds", "grounds", "carries", "hangs-on", "may-feed", "works-relay", "same-copper"]
"""How something is related to a hands-off thing: it is that thing; feeds or grounds it; carries a wire of it; hangs on
a hands-off fuse; may feed it, because it was not typed in where the sheet goes on; works the coil of a relay by which
it is fed or grounded; or is on the same copper, so that it is not probed, though its own plug may be unplugged."""

_ONE_PIECE = ("connector", "relay")
"""Kinds of parts that are handled as one piece: who probes one of their pins moves the others."""


class Untouchable(NamedTuple):
    """Why something may not be pulled, unplugged, parted, probed or measured. `of` is the hands-off thing that it is,
    feeds, grounds or carries; `reason` is why that thing is hands-off."""

    how: How
    of: str
    reason: HandsOffReason


@dataclass(frozen=True)
class HandsOffMap:
    """What may not be touched on a platform. `terminals` are those that carry a hands-off circuit; `from_outside` those
    at a high voltage that comes from outside the vehicle (a mains inlet): no current of its batteries flows there;
    `same_copper` those that nothing but wire joins to what feeds such a thing."""

    platform: Platform
    things: HandsOffThings
    parts: Mapping[str, Untouchable]
    terminals: Mapping[Terminal, Untouchable]
    wires: Mapping[int, Untouchable]
    from_outside: frozenset[Terminal] = frozenset()
    same_copper: Mapping[Terminal, Untouchable] = field(default_factory=dict[Terminal, Untouchable])

    def why_not(self, name: str) -> Untouchable | None:
        """Why `name` may not be pulled, unplugged, parted, probed, or measured in millivolts or ohms; None if it may.

        `name` is a part, one plug of a part (`BCM.A`), a cavity or pin (`X9.3`, `SDM.1`), a network, a star or a leg of
        one (`X60.1`). A post of a battery may be touched: there is no other way to measure the total.
        """
        if name in self.platform.stars or name.rpartition(".")[0] in self.platform.stars:
            return self._of_star(name)
        if name in self.things.networks and name not in self.platform.parts:
            return Untouchable("itself", name, self.things.networks[name])
        if name in self.platform.parts:
            part = self.platform.parts[name]
            inside = part.inside if isinstance(part, Switch) else ""  # it has no terminals but those of that part
            return self.parts.get(name) or (self.parts.get(inside) if inside else None)
        owner, pin = self._split(name)
        own = self.parts.get(owner)
        if own is not None and own.how == "itself":
            return own
        for terminal, its in self.terminals.items():
            if terminal.part == owner and (terminal.pin == pin or terminal.pin.startswith(f"{pin}.")):
                return its
        handled = self.platform.parts.get(owner)
        return own if handled is not None and handled.kind in _ONE_PIECE else None

    def _split(self, name: str) -> tuple[str, str]:
        """The part and the pin of `CAB.K1.30`, `BCM.A.3`."""
        owner, _, pin = name.rpartition(".")
        while owner and owner not in self.platform.parts:
            owner, _, more = owner.rpartition(".")
            pin = f"{more}.{pin}"
        return owner, pin

    def may_touch(self, name: str) -> bool:
        return self.why_not(name) is None

    def why_not_probed(self, point: str) -> Untouchable | None:
        """Why no probe may be held to a point; None if one may. More than what may not be touched: a pin on the copper
        that feeds a hands-off thing is no place for a probe, though the plug that it is in may be unplugged."""
        its = self.why_not(point)
        if its is not None or point in self.platform.parts:
            return its
        owner, pin = self._split(point)
        return next((its for at, its in self.same_copper.items() if (at.part, at.pin) == (owner, pin)), None)

    def may_probe(self, point: str) -> bool:
        return self.why_not_probed(point) is None

    def may_clamp(self, name: str) -> bool:
        """Whether a clamp may go round the cable of something. A clamp touches no metal, so only what is itself
        hands-off, or carries or hangs on such a thing, is left alone."""
        its = self.why_not(name)
        return its is None or its.how in ("feeds", "grounds", "may-feed", "works-relay")

    def why_not_behind(self, fed_from: str) -> Untouchable | None:
        """Why nothing that is on no sheet may be opened, probed or moved where it is fed from this: only its own plug
        and its own switch are used. None at a battery, whose posts may be touched."""
        return None if self.platform.parts[fed_from].kind == "battery" else self.why_not(fed_from)

    def _of_star(self, name: str) -> Untouchable | None:
        """A star may not be parted if anything on it is hands-off, a leg if anything on that leg is."""
        star = self.platform.stars.get(name)
        legs: Iterable[tuple[str, ...]]
        if star is not None:
            legs = star.legs
        else:
            owner, _, number = name.rpartition(".")
            star = self.platform.stars[owner]
            legs = star.legs[int(number) - 1 : int(number)] if number.isdigit() and int(number) else star.legs
        if star.name in self.things.stars:
            return Untouchable("itself", star.name, self.things.stars[star.name])
        if star.network in self.things.networks:
            return Untouchable("carries", star.network, self.things.networks[star.network])
        for member in (member for leg in legs for member in leg):
            if member in self.things.parts:
                return Untouchable("carries", member, self.things.parts[member])
        return None
