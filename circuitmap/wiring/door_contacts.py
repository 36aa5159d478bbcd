"""Which door contacts wake a module for as long as the door is open: what is read then is of a vehicle that is awake,
however long it is waited."""

import re
from collections import deque
from collections.abc import Collection, Mapping
from math import isinf

from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Diode, Joint, Resistor, Switch, Terminal
from circuitmap.wiring.platform import Platform

_DOOR = re.compile(r"\bdoors?\b", re.IGNORECASE)


def wakes_while_open(platform: Platform, fitting: Mapping[str, bool], absent: Collection[str] = ()) -> tuple[str, ...]:
    """The door contacts of this vehicle that lead to a wake pin of which the sheets say that it wakes for ever. Not
    where they say nothing of how long, or that it ends."""
    found: dict[str, None] = {}
    for module in platform.loads:
        if module.name in absent or holds(module.condition, fitting) == Answer.NO:
            continue
        for pin, lasts in module.lasts.items():
            if isinf(lasts.high):
                found |= dict.fromkeys(_switches_at(platform, Terminal(module.name, pin)))
    return tuple(
        name
        for name in found
        if name not in absent
        and _DOOR.search(platform.parts[name].description)
        and holds(platform.parts[name].condition, fitting) != Answer.NO
    )


def _switches_at(platform: Platform, pin: Terminal) -> list[str]:
    """The switches that wires lead to from a pin, through joints, diodes and resistors and nothing else."""
    owners: dict[str, list[str]] = {}
    for part in platform.parts.values():
        if isinstance(part, Switch):
            owners.setdefault(part.owner, []).append(part.name)
    found: list[str] = []
    start = (pin.part, pin.pin)
    seen, queue = {start}, deque([start])
    while queue:
        name, came_to = queue.popleft()
        for wire in platform.wires_at.get(name, ()):
            for here, there in ((wire.a, wire.b), (wire.b, wire.a)):
                if here.part != name or not _leads_on(platform, name, came_to, here.pin):
                    continue
                if there.part in owners:
                    found += owners[there.part]
                elif _is_passed(platform, there.part) and (there.part, there.pin) not in seen:
                    seen.add((there.part, there.pin))
                    queue.append((there.part, there.pin))
    return found


def _is_passed(platform: Platform, part: str) -> bool:
    return isinstance(platform.parts.get(part), Joint | Diode | Resistor)


def _leads_on(platform: Platform, part: str, came_to: str, leaves_at: str) -> bool:
    """Whether what came to one pin of a part leaves it at another: a plug's cavity is by itself."""
    its = platform.parts.get(part)
    return came_to == leaves_at or (_is_passed(platform, part) and its is not None and its.kind != "connector")
