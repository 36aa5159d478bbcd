"""What stands at a high voltage that comes from outside: behind a shore or hook-up inlet, as far as the first load.

The inlet's own source is not drawn, so nothing that feeds it is found; what it feeds is at the same voltage, through
wires, breakers and contacts, and is no more touched than the inlet itself.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.wiring.hands_off import HandsOffThings
from circuitmap.wiring.parts import Battery, Box, Fuse, Load, OpenEnd, Terminal, Undeclared
from circuitmap.wiring.platform import Platform


def behind_high_voltage(
    platform: Platform,
    things: HandsOffThings,
    nodes: Sequence[Terminal],
    beside: Callable[[int], Iterable[int]],
    stops: Collection[int],
) -> dict[int, Untouchable]:
    """The nodes at the voltage of a part that was typed as such and is fed from where no sheet was typed; `beside` are
    the nodes next to one, but not across a load, and nothing goes on at `stops` (grounds)."""
    parts = platform.parts
    found: dict[int, Untouchable] = {}
    for number, terminal in enumerate(nodes):
        reason = things.parts.get(terminal.part)
        part = parts.get(terminal.part)
        if reason is None or reason.why != "high-voltage" or reason.known_by != "typed" or isinstance(part, Load):
            continue
        if not any(_comes_from_outside(parts.get(nodes[its].part)) for its in beside(number)):
            continue
        todo = [number]
        while todo:
            here = todo.pop()
            its_part = parts.get(nodes[here].part)
            if here in found or here in stops or isinstance(its_part, Battery):
                continue
            if its_part is not None and its_part.hands_off == "not":
                continue
            found[here] = Untouchable("hangs-on", terminal.part, reason)
            if not isinstance(its_part, Load | Undeclared | OpenEnd):
                todo.extend(beside(here))
    return found


def _comes_from_outside(part: object) -> bool:
    return isinstance(part, OpenEnd) and part.from_supply


def parts_at(platform: Platform, nodes: Sequence[Terminal], at: Mapping[int, Untouchable]) -> dict[str, Untouchable]:
    """The parts that stand at that voltage: not the load that it ends at, of which only those pins do; and each box all
    of whose fuses do."""
    found: dict[str, Untouchable] = {}
    for node, its in at.items():
        name = nodes[node].part
        if name in platform.parts and not isinstance(platform.parts[name], Load | OpenEnd | Undeclared):
            found.setdefault(name, its)
    for box in (part for part in platform.parts.values() if isinstance(part, Box)):
        within = [part.name for part in platform.parts.values() if platform.box_of(part.name) is box]
        fuses = [name for name in within if isinstance(platform.parts[name], Fuse)]
        if fuses and all(name in found for name in fuses):
            found.setdefault(box.name, found[fuses[0]])
    return found
