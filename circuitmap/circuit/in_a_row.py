"""Loads wired one after another: what one passes on, the next one takes; and fuses side by side."""

from collections import deque
from collections.abc import Iterator
from typing import Literal

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.link import NEVER_CROSSED
from circuitmap.circuit.one_metal import CHARTED_METAL, metal_from
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import FIRST, SECOND, OpenEnd, Terminal, is_unnamed


def side_by_side(feeding: Feeding, fuse: str) -> tuple[str, ...]:
    """The other fuses whose feeds are in one piece of metal with this one's, and whose outgoing sides are, too."""
    circuit = feeding.circuit
    before, behind = (_in_one_piece(feeding, Terminal(fuse, pin)) for pin in (FIRST, SECOND))
    others = (its.name for its in circuit.platform.fuses if its.name != fuse and feeding.fitted(its.name))
    return tuple(name for name in others if Terminal(name, SECOND) in behind and Terminal(name, FIRST) in before)


def _in_one_piece(feeding: Feeding, start: Terminal) -> set[Terminal]:
    circuit = feeding.circuit
    number = circuit.number.get(start)
    if number is None:
        return {start}
    metal = metal_from(circuit, number, feeding.fitting, kinds=CHARTED_METAL, surely=True)
    return {circuit.nodes[node] for node in metal.nodes}


def goes_on_through(feeding: Feeding, terminal: Terminal, side: Literal["supply", "ground"]) -> tuple[str, ...]:
    """The loads next to `terminal` through which it gets its supply or ground, when no wire leads there.

    Contacts may be closed. Modules pass nothing on (see `_PASS_NOTHING_ON`); nor does a load with a side that is not
    typed in.
    """
    circuit = feeding.circuit
    ways = feeding.supply if side == "supply" else feeding.ground
    start = circuit.number.get(terminal)
    if start is None:
        return ()
    found: dict[str, None] = {}
    met: _Met = {}
    fed: dict[int, bool] = {}
    own = terminal.part
    for load, beyond in _next_loads(feeding, start, {own}):
        seen = {own, load}
        looked_at: set[int] = set()
        todo = deque([beyond])
        while todo:
            node = todo.popleft()
            if node not in fed:
                fed[node] = any(path.known for path in ways.to(circuit.nodes[node]).direct)
            if fed[node]:
                found[load] = None
                break
            met_here = _loads_met(feeding, node, met)
            if id(met_here) in looked_at:
                continue
            looked_at.add(id(met_here))
            for after, its in met_here:
                if after not in seen:
                    seen.add(after)
                    todo.append(its)
    return tuple(found)


_Met = dict[int, tuple[tuple[str, int], ...]]


def _loads_met(feeding: Feeding, node: int, met: _Met) -> tuple[tuple[str, int], ...]:
    """The loads next to a node. Nodes from which each leads to every other all have the same loads."""
    if node not in met:
        piece = {node}
        met[node] = tuple(_next_loads(feeding, node, set(), piece))
        links, at = feeding.circuit.links, feeding.circuit.at
        if not any(links[i].one_way for here in piece for i in at[here]):
            met.update(dict.fromkeys(piece, met[node]))
    return met[node]


def _next_loads(
    feeding: Feeding, start: int, without: set[str], seen: set[int] | None = None
) -> Iterator[tuple[str, int]]:
    """The loads that wires and contacts lead to from a node, each with the node on its far side. All nodes reached are
    added to `seen`."""
    circuit = feeding.circuit
    parts = circuit.platform.parts
    seen = {start} if seen is None else seen
    todo = [start]
    while todo:
        here = todo.pop()
        for i in circuit.at[here]:
            link = circuit.links[i]
            if holds(link.condition, feeding.fitting) == Answer.NO:
                continue
            a, b = circuit.ends[i]
            there = b if a == here else a
            if link.kind == "load":
                typed = link.assumed not in ("ground", "supply")
                if typed and link.part not in without and parts[link.part].kind not in _PASS_NOTHING_ON:
                    yield link.part, there
            elif link.kind not in NEVER_CROSSED and there not in seen and not (link.one_way and here == b):
                seen.add(there)
                todo.append(there)


def fed_after_all(feeding: Feeding, terminal: Terminal) -> bool:
    """Whether it is typed in what feeds a pin that no way from a battery leads to: loads in series with it, or the
    module that it is wired to. A part with two wires and no supply pin among them, a sensor on two inputs, is fed by
    that module."""
    load = feeding.circuit.loads.get(terminal.part)
    if load is not None and terminal in load.supplies and not load.supply_drawn:
        pins = feeding.circuit.terminals_of.get(terminal.part, ())
        wired = [end for end in pins if not is_unnamed(end.pin)]
        return len(wired) > 1 and any(wired_to(feeding, end) for end in wired)
    return bool(wired_to(feeding, terminal)) or bool(goes_on_through(feeding, terminal, "supply"))


def wired_to(feeding: Feeding, terminal: Terminal) -> tuple[str, ...]:
    """The modules that wires lead to from a pin, if they lead to no place where the sheets go on."""
    circuit = feeding.circuit
    parts = circuit.platform.parts
    start = circuit.number.get(terminal)
    nodes: set[int] = set() if start is None else {start}
    for _ in _next_loads(feeding, start, {terminal.part}, nodes) if start is not None else ():
        pass
    ends = [circuit.nodes[node] for node in nodes]
    if any(end in circuit.unknown_supplies or isinstance(parts.get(end.part), OpenEnd) for end in ends):
        return ()
    others = sorted({end.part for end in ends if end.part in parts and end.part != terminal.part})
    return tuple(name for name in others if parts[name].kind in _ANSWERING)


_PASS_NOTHING_ON = ("module", "alternator", "charger")
"""A module decides for itself, a rectifier blocks what comes from the battery (common practice, no source)."""

_ANSWERING = ("module", "charger", "alternator")
"""What may send a current out by a pin that is no supply."""
