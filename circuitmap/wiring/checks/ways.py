"""From one terminal to another by wires, splices and cavities alone, in a car that one can have."""

from collections import deque
from collections.abc import Callable, Iterable

from circuitmap.wiring.parts import Condition, Terminal
from circuitmap.wiring.platform import Platform, Wire


def way_by_wires(
    platform: Platform, start: Terminal, condition: Condition, is_end: Callable[[Terminal], bool]
) -> tuple[Terminal, list[Wire]] | None:
    """The first end that is met, and the wires on the way there; what needs equipment that excludes other equipment on
    the way is no way."""
    if not any(is_end(terminal) for terminal in platform.nets.of(start)):
        return None
    wires_at: dict[tuple[str, str], list[Wire]] = {}
    for wire in platform.wires:
        if wire.kind != "chart":
            wires_at.setdefault(wire.a[:2], []).append(wire)
            wires_at.setdefault(wire.b[:2], []).append(wire)
    came_by: dict[Terminal, tuple[Terminal, Wire]] = {}
    reached = {start}
    waiting = deque([(start, condition)])
    while waiting:
        here, needed = waiting.popleft()
        for wire in wires_at.get(here[:2], ()):
            far = wire.b if wire.a[:2] == here[:2] else wire.a
            if far in reached or not both_hold(needed, wire.condition):
                continue
            reached.add(far)
            came_by[far] = here, wire
            if is_end(far):
                return far, _way(came_by, start, far)
            waiting.append((far, tuple(sorted({*needed, *wire.condition}))))
    return None


def _way(came_by: dict[Terminal, tuple[Terminal, Wire]], start: Terminal, end: Terminal) -> list[Wire]:
    way = []
    while end != start:
        end, wire = came_by[end]
        way.append(wire)
    return way[::-1]


def are_told(platform: Platform, wires: Iterable[Wire]) -> bool:
    """Whether some of these wires meet in a connector whose cavities were not said, or where wires of different colours
    were told to share half a cavity: what follows from that is not told again."""
    told = {p.span for p in platform.problems if p.code == "colour-change-on-half"}
    return any(
        any(end.half and not end.pin for end in (wire.a, wire.b)) or any(span in told for span in wire.spans)
        for wire in wires
    )


def both_hold(condition: Condition, other: Condition) -> bool:
    """Whether one car can have the equipment that both conditions ask for."""
    return not any((need.option, not need.fitted) in other for need in condition)
