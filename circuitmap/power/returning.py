"""What a load's current returns through, back to the battery that feeds it: shunts, sensors, straps with a name."""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence

from circuitmap.circuit.links import NEVER_CROSSED
from circuitmap.power.evaluate import Powered
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import NO, YES
from circuitmap.power.why import why
from circuitmap.wiring.parts import Load, Resistor, Terminal


def returns_of(
    powered: Powered, pins: Sequence[Terminal], grounds: Sequence[Terminal]
) -> Iterator[tuple[str, float, bool]]:
    """Each by its name, with how much of the load's current flows there, and whether all of that surely does. What a
    converter feeds returns to it, and from there as its own current."""
    share = 1.0
    batteries: dict[str, None] = {}
    for pin in pins:
        batteries.update(dict.fromkeys(powered.batteries(pin)))
        for step in why(powered, pin).steps:
            output = step.link.output if step.link is not None else None
            if output is not None and output.volts:
                share = output.volts / powered.circuit.platform.supply_volts
                grounds = powered.circuit.loads[output.module].grounds
    number = powered.circuit.number
    ends = {its.minus for its in powered.plan.cells if its.battery in batteries}
    ways = [way for pin in grounds if pin in number for way in ways_back(powered, number[pin], ends)]
    for name in dict.fromkeys(name for way in ways for name in way):
        yield name, share, all(name in way for way in ways)


def ways_back(powered: Powered, start: int, ends: set[int]) -> list[tuple[str, ...]]:
    """To each of these minuses that can be reached, the names on the shortest way."""
    back = powered.derived(_Back)
    return [names[start] for end in sorted(ends) if start in (names := back.to(end))]


def open_on_the_way(powered: Powered, starts: Sequence[int], end: int) -> tuple[str, ...]:
    """The switches and relays that are open on the shortest way back to a minus, if some contacts closed; none where no
    way is typed in."""
    circuit = powered.circuit
    came: dict[int, int | None] = dict.fromkeys(starts)
    queue = deque(starts)
    while queue:
        at = queue.popleft()
        if at == end:
            break
        for i in circuit.at[at]:
            link, (a, b) = circuit.links[i], circuit.ends[i]
            other = b if at == a else a
            barred = link.kind in NEVER_CROSSED or (link.one_way and other == a) or powered.nets.link_level[i] == NO
            if other not in came and not barred:
                came[other] = i
                queue.append(other)
    if end not in came:
        return ()
    found: dict[str, None] = {}
    at, came_by = end, came[end]
    while came_by is not None:
        if level_of(powered, came_by) == NO:
            found.setdefault(circuit.links[came_by].part)
        a, b = circuit.ends[came_by]
        at = b if at == a else a
        came_by = came[at]
    return tuple(found)


class _Back:
    """The names on the shortest way from everywhere to a battery's minus, looked for once for all loads of a state."""

    def __init__(self, powered: Powered) -> None:
        self._powered = powered
        self._to: dict[int, Mapping[int, tuple[str, ...]]] = {}

    def to(self, end: int) -> Mapping[int, tuple[str, ...]]:
        if end not in self._to:
            self._to[end] = self._looked_for(end)
        return self._to[end]

    def _looked_for(self, end: int) -> Mapping[int, tuple[str, ...]]:
        powered, circuit = self._powered, self._powered.circuit
        names: dict[int, tuple[str, ...]] = {end: ()}
        queue = deque([end])
        while queue:
            at = queue.popleft()
            for i in circuit.at[at]:
                link = circuit.links[i]
                a, b = circuit.ends[i]
                other = b if at == a else a
                shunts = link.kind == "resistor" and link.part in circuit.loads
                barred = link.kind in NEVER_CROSSED or shunts or (link.one_way and other == b)
                if other not in names and not barred and level_of(powered, i) == YES:
                    name = _name(powered, i)
                    beyond = names[at]
                    names[other] = (name, *beyond) if name and name not in beyond else beyond
                    queue.append(other)
        return names


def _name(powered: Powered, number: int) -> str:
    """What a link on the way back is called, if an ammeter would be held there."""
    link = powered.circuit.links[number]
    if link.wire is not None and not link.wire.name:
        return ""
    if link.wire is not None:
        ends = {link.a, link.b}
        side_by_side = [its for its in powered.circuit.links_at(link.a) if its.wire and {its.a, its.b} == ends]
        return link.wire.name if len(side_by_side) == 1 else ""
    part = powered.circuit.platform.parts.get(link.part)
    is_sensor = isinstance(part, Load) and bool(part.joined)
    return link.part if isinstance(part, Resistor) or is_sensor else ""
