"""The same path drawn twice: once in full, and once as a single line from end to end or as a row of a fuse chart."""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice

from circuitmap.problems import Related
from circuitmap.wiring.draft import PlatformDraft
from circuitmap.wiring.nets import JoinedNets
from circuitmap.wiring.parts import (
    BODY,
    FIRST,
    SECOND,
    Diode,
    Joint,
    Load,
    Need,
    Part,
    Relay,
    Resistor,
    Switch,
    Terminal,
)
from circuitmap.wiring.platform import Output, Wire


def without_chart_rows_that_are_drawn(
    wires: Sequence[Wire], parts: Mapping[str, Part], outputs: Sequence[Output]
) -> list[Wire]:
    """Drops each chart row whose two parts are joined by what was typed in: wires, splices, cavities, the contacts of
    switches and relays, a module's outputs. A chart says what hangs on a fuse, not through what."""
    rows = [wire for wire in wires if wire.kind == "chart"]
    if not rows:
        return list(wires)
    rows_of: dict[frozenset[Need], list[Wire]] = {}
    for row in rows:
        rows_of.setdefault(frozenset(row.condition), []).append(row)
    always: list[Wire] = []
    on_condition: dict[frozenset[Need], list[Wire]] = {}
    for wire in wires:
        if wire.kind != "chart":
            (on_condition.setdefault(frozenset(wire.condition), []) if wire.condition else always).append(wire)
    nets = JoinedNets(
        (
            *((wire.a, wire.b) for wire in always),
            *_ways_through(parts.values(), outputs),
            # Each end is taken by itself, so that the halves of its cavity count as one point.
            *((end, end) for typed in on_condition.values() for wire in typed for end in (wire.a, wire.b)),
        )
    )
    drawn: set[Wire] = set()
    for condition, its_rows in rows_of.items():
        typed = [wire for needed, typed in on_condition.items() if needed <= condition for wire in typed]
        joined = JoinedNets((nets.key(wire.a), nets.key(wire.b)) for wire in typed)
        parts_of: dict[Terminal, set[str]] = {}
        for row in its_rows:
            net = joined.key(nets.key(row.a))
            if net not in parts_of:
                parts_of[net] = {terminal.part for key in joined.of(net) for terminal in nets.of(key)}
            if row.b.part in parts_of[net]:
                drawn.add(row)
    return [wire for wire in wires if wire.kind != "chart" or wire not in drawn]


def _ways_through(parts: Iterable[Part], outputs: Iterable[Output]) -> Iterator[tuple[Terminal, Terminal]]:
    """Inside parts: what a contact or an output can join. Fuses end a row of the chart."""
    supplies: dict[str, tuple[str, ...]] = {}
    for part in parts:
        if isinstance(part, Switch | Relay):
            for contact in part.contacts:
                if BODY not in contact[:2]:
                    yield Terminal(part.name, contact.pin_a), Terminal(part.name, contact.pin_b)
        elif isinstance(part, Diode | Resistor):
            yield Terminal(part.name, FIRST), Terminal(part.name, SECOND)
        elif isinstance(part, Load):
            supplies[part.name] = part.pins_with("supply")
    for output in outputs:
        if output.action == "feeds":
            for pin in (output.source,) if output.source else supplies.get(output.module, ()):
                yield Terminal(output.module, pin), output.terminal


def without_lines_drawn_in_full(draft: PlatformDraft, wires: Sequence[Wire]) -> list[Wire]:
    """Drops each wire that other sheets show as a chain through nothing but cavities and splices."""
    suspects = _wires_on_loops(wires)
    if not suspects:
        return list(wires)
    at: dict[Terminal, list[Wire]] = {}
    for wire in wires:
        if wire.kind == "wire":
            at.setdefault(_one_half(wire.a), []).append(wire)
            at.setdefault(_one_half(wire.b), []).append(wire)
    dropped: set[int] = set()
    for number in suspects:
        wire = wires[number]
        chain = _chain_elsewhere(wire, at, draft.parts)
        if chain:
            dropped.add(number)
            _compare(draft, wire, chain)
    return [wire for number, wire in enumerate(wires) if number not in dropped]


def _one_half(terminal: Terminal) -> Terminal:
    """Both halves of a cavity as one point."""
    return Terminal(terminal.part, terminal.pin) if terminal.half else terminal


def _wires_on_loops(wires: Sequence[Wire]) -> list[int]:
    """Numbers of the wires that may have a second way round: those left when loose ends are cut off again and again."""
    at: dict[Terminal, set[int]] = {}
    for number, wire in enumerate(wires):
        if wire.kind == "wire":
            at.setdefault(_one_half(wire.a), set()).add(number)
            at.setdefault(_one_half(wire.b), set()).add(number)
    loose = [point for point, numbers in at.items() if len(numbers) == 1]
    while loose:
        point = loose.pop()
        for number in at.pop(point, ()):
            for end in (_one_half(wires[number].a), _one_half(wires[number].b)):
                if end in at:
                    at[end].discard(number)
                    if len(at[end]) == 1:
                        loose.append(end)
    left = {number for numbers in at.values() for number in numbers}
    return sorted(number for number in left if not wires[number].name)


_FARTHEST_SEARCH = 200
"""How many wires are looked at for one wire: a chain has a handful, and a search that finds nothing must end."""


def _chain_elsewhere(wire: Wire, at: Mapping[Terminal, list[Wire]], parts: Mapping[str, Part]) -> list[Wire]:
    """A way from one end of `wire` to the other over joints, along wires of other sheets with the same equipment."""
    # Starts from the end with fewer wires, and so away from battery posts and bars.
    start, goal = sorted((_one_half(wire.b), _one_half(wire.a)), key=lambda end: len(at.get(end, ())))
    came_by: dict[Terminal, tuple[Terminal, Wire]] = {}
    waiting = deque([start])
    looked_at = 0
    while waiting and looked_at < _FARTHEST_SEARCH:
        here = waiting.popleft()
        for step in islice(at.get(here, ()), _FARTHEST_SEARCH - looked_at):
            looked_at += 1
            if step is wire or not wire.sheets or not step.sheets or step.condition != wire.condition:
                continue
            if set(step.sheets) & set(wire.sheets):
                continue
            there = _one_half(step.b if _one_half(step.a) == here else step.a)
            if there == start or there in came_by:
                continue
            came_by[there] = here, step
            if there == goal:
                chain = []
                while there != start:
                    there, step = came_by[there]
                    chain.append(step)
                return chain
            if isinstance(parts[there.part], Joint):
                waiting.append(there)
    return []


def _compare(draft: PlatformDraft, wire: Wire, chain: Iterable[Wire]) -> None:
    colours = {step.colour for step in chain if step.colour}
    if wire.colour and colours and wire.colour not in colours:
        step = next(step for step in chain if step.colour)
        draft.warning(
            "wire-disagrees",
            f"The same path is described in two ways: {wire.colour_written} or {step.colour_written}.",
            wire.spans[0],
            related=(Related(step.spans[0], "drawn in full here"),),
        )
