"""Is there a battery, and is it wired as one?"""

from collections import deque
from collections.abc import Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.parts import Battery, Condition, Ground, Terminal
from circuitmap.wiring.platform import Platform, Wire


def no_battery(platform: Platform) -> Iterator[Problem]:
    """Without a battery nothing is ever live."""
    if not platform.wires or "battery" in platform.doubted:
        return
    if not any(isinstance(part, Battery) for part in platform.parts.values()):
        span = platform.declared or platform.wires[0].spans[0]
        yield Problem(
            "no-battery",
            Severity.NOTE,
            "No battery is typed in, so nothing can be live.",
            span,
            advice="battery BAT 72Ah, and a wire from BAT.+ to the first fuse.",
        )


def plus_wired_to_minus(platform: Platform) -> Iterator[Problem]:
    """A plus joined to a minus by wires alone, its own or another battery's: a short circuit."""
    batteries = [part for part in platform.parts.values() if isinstance(part, Battery)]
    reported: set[frozenset[str]] = set()
    for battery in batteries:
        if battery.name in platform.doubted:
            continue
        found = _way_to_minus(platform, battery)
        if found is None:
            continue
        end, way = found
        other = platform.parts[end.part]
        pair = frozenset((battery.name, other.name))
        if pair in reported:
            continue
        reported.add(pair)
        into = f"{other.name}.-" if isinstance(other, Battery) else f"ground {other.name}"
        series = isinstance(other, Battery) and other is not battery
        yield Problem(
            "plus-to-minus",
            Severity.ERROR,
            f"{battery.name}.+ is wired to {into} with nothing in between.",
            way[0].spans[0],
            advice="Two batteries in series are one, with a tap: battery BAT 24V series, BAT.mid." if series else "",
            related=(Related(way[-1].spans[0], "the last wire of this way"),) if len(way) > 1 else (),
        )


def _way_to_minus(platform: Platform, battery: Battery) -> tuple[Terminal, list[Wire]] | None:
    """The first minus or ground that wires, splices and cavities join to this plus, and the wires on the way."""
    start = Terminal(battery.name, "+")
    if not any(_is_minus(platform, terminal) for terminal in platform.nets.of(start)):
        return None
    wires_at: dict[tuple[str, str], list[Wire]] = {}
    for wire in platform.wires:
        if wire.kind != "chart":
            wires_at.setdefault(wire.a[:2], []).append(wire)
            wires_at.setdefault(wire.b[:2], []).append(wire)
    came_by: dict[Terminal, tuple[Terminal, Wire]] = {}
    reached = {start}
    waiting = deque([(start, battery.condition)])
    while waiting:
        here, condition = waiting.popleft()
        for wire in wires_at.get(here[:2], ()):
            far = wire.b if wire.a[:2] == here[:2] else wire.a
            if far in reached or not _both_hold(condition, wire.condition):
                continue
            reached.add(far)
            came_by[far] = here, wire
            if _is_minus(platform, far):
                return far, _way(came_by, start, far)
            waiting.append((far, tuple(sorted({*condition, *wire.condition}))))
    return None


def _is_minus(platform: Platform, terminal: Terminal) -> bool:
    part = platform.parts[terminal.part]
    return isinstance(part, Ground) or (isinstance(part, Battery) and terminal.pin == "-")


def _way(came_by: dict[Terminal, tuple[Terminal, Wire]], start: Terminal, end: Terminal) -> list[Wire]:
    way = []
    while end != start:
        end, wire = came_by[end]
        way.append(wire)
    return way[::-1]


def _both_hold(condition: Condition, other: Condition) -> bool:
    """Whether one car can have the equipment that both conditions ask for."""
    return not any((need.option, not need.fitted) in other for need in condition)
