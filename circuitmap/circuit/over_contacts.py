"""The ways from one part to others over metal, fuses and contacts, however these stand: those over the fewest contacts.

Nothing leads through a load or a ground point; the plus posts of a battery are a point like any other."""

from collections import deque
from collections.abc import Callable
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import is_one_metal
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.wiring.parts import Ground, Terminal


class OverContacts(NamedTuple):
    """A way: its two ends, and the fuses, contacts and plugs on it in their order, from `end` to `start`."""

    start: Terminal
    end: Terminal
    parts: tuple[str, ...]


def over_fewest_contacts(circuit: Circuit, part: str, is_end: Callable[[str], bool]) -> tuple[OverContacts, ...]:
    """One way to each part that is such an end, as far as all pass equally few contacts."""
    parts = circuit.platform.parts
    starts = [circuit.number[terminal] for terminal in circuit.terminals_of.get(part, ())]
    todo = deque((node, 0, -1, -1) for node in starts)
    came: dict[int, tuple[int, int, int]] = {}
    found: dict[str, tuple[int, int]] = {}
    while todo:
        node, contacts, before, over = todo.popleft()
        name = circuit.nodes[node].part
        if node in came or isinstance(parts.get(name), Ground):
            continue
        came[node] = (contacts, before, over)
        if is_end(name) and name != part:
            found.setdefault(name, (contacts, node))
            continue
        for i in circuit.at[node]:
            link = circuit.links[i]
            others = [end for end in circuit.ends[i] if end != node]
            if is_one_metal(link) or link.kind in PROTECTIVE:
                todo.extendleft((end, contacts, node, i) for end in others)
            elif link.kind == "contact":
                todo.extend((end, contacts + 1, node, i) for end in others)
    least = min((contacts for contacts, _ in found.values()), default=0)
    return tuple(_way(circuit, came, node) for contacts, node in found.values() if contacts == least)


def _way(circuit: Circuit, came: dict[int, tuple[int, int, int]], end: int) -> OverContacts:
    on_it: dict[str, None] = {}
    node = end
    while came[node][1] >= 0:
        _, before, over = came[node]
        link = circuit.links[over]
        if link.kind in PROTECTIVE or link.kind == "contact":
            on_it[link.part] = None
        elif link.kind == "cavity":
            on_it[link.a.part] = None
        node = before
    return OverContacts(circuit.nodes[node], circuit.nodes[end], tuple(on_it))
