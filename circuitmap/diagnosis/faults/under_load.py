"""What has to come out before a relay is pulled whose contact carries a large current: it would arc at the socket."""

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

ARCS = 5.0
"""Amperes from which on a relay is not pulled with its load on (judgement: the socket's contacts part slowly)."""


def fuses_first(platform: Platform, hands_off: HandsOffMap, fault: Fault) -> tuple[str, ...]:
    """The fuses of what a stuck contact feeds, where that takes more than may be parted at its socket."""
    if not fault.has("contact-volts"):
        return ()
    through: dict[str, float] = {}
    for flow in fault.brings:
        fuses = (name for name in flow.way.places if isinstance(platform.parts.get(name), Fuse))
        nearest = next(fuses, "")
        through[nearest] = through.get(nearest, 0.0) + flow.mean
    if sum(through.values()) < ARCS:
        return ()
    return tuple(sorted(name for name in through if name and hands_off.may_touch(name) and _is_pulled(platform, name)))


def _is_pulled(platform: Platform, name: str) -> bool:
    fuse = platform.parts[name]
    return isinstance(fuse, Fuse) and fuse.kind != "link" and fuse.style != "bolted"
