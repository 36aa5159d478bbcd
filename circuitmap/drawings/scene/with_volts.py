"""Volts written into a scene: at each point of the way of a current once, and what is lost on each wire of it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from circuitmap.drawings.scene.scene import DrawnEnd, DrawnVolts, DrawnWire, Kind, Probed, Scene
from circuitmap.drawings.scene.sketch import box_key
from circuitmap.wiring.parts import Battery, Joint, OpenEnd, Terminal
from circuitmap.wiring.platform import Platform


class PointVolts(NamedTuple):
    """A point of the way: what is to be expected there, in words, what was read, how that stands to it; `lost` is what
    is lost from here to the next point."""

    at: Terminal
    expected: str
    read: str = ""
    stands: Probed = Probed.SOUND
    lost: str = ""


def with_volts(
    scene: Scene, platform: Platform, way: Sequence[PointVolts], remarks: Sequence[str], notes: Sequence[str]
) -> Scene:
    """The same scene with the volts of a way; wires on the way stand out. What the scene does not show has none.
    `remarks` are told of the volts; `notes` say what they rest on that nobody knows."""
    grounds = {part.key: part.name for part in scene.parts if part.kind is Kind.GROUND}
    wires = {wire.key: wire for wire in scene.wires}
    found: list[DrawnVolts] = []
    told: set[str] = set()
    for here, onward in pairwise(way):
        taken = _wire_between(platform, wires, grounds, here.at, onward.at)
        if taken is None:
            continue
        wire, forward = taken
        wires[wire.key] = replace(wire, named=True, drop=here.lost)
        for point, at_start in ((here, forward), (onward, not forward)):
            if str(point.at) not in told:
                told.add(str(point.at))
                key = f"volts {len(found)}"
                found.append(DrawnVolts(key, wire.key, at_start, point.expected, point.read, point.stands))
    return replace(
        scene, wires=tuple(wires.values()), volts=tuple(found), remarks=tuple(remarks), notes=(*scene.notes, *notes)
    )


def _wire_between(
    platform: Platform, wires: Mapping[str, DrawnWire], grounds: Mapping[str, str], one: Terminal, other: Terminal
) -> tuple[DrawnWire, bool] | None:
    """The wire from one to the other, not shown as part of the way yet if there are several; whether it is drawn in
    this direction."""
    for wire in sorted(wires.values(), key=lambda its: its.named):
        for start, finish, forward in ((one, other, True), (other, one, False)):
            if _is_at(platform, wire.start, start, grounds) and _is_at(platform, wire.finish, finish, grounds):
                return wire, forward
    return None


def _is_at(platform: Platform, end: DrawnEnd, at: Terminal, grounds: Mapping[str, str]) -> bool:
    """Whether the end of a drawn wire is this terminal."""
    if end.owner in grounds:
        return grounds[end.owner] in (str(at), at.part, "body" if at.part == "case" else "")
    part = platform.parts.get(at.part)
    if isinstance(part, Battery) or end.owner.startswith("rail "):
        return end.owner == f"rail {at}" or end == DrawnEnd(at.part, at.pin)
    key = box_key(platform, at)
    if isinstance(part, Joint) and part.kind == "connector" and at.half:
        return end == DrawnEnd(key, at.half)
    return end == (DrawnEnd(key) if isinstance(part, Joint | OpenEnd) else DrawnEnd(key, at.pin))
