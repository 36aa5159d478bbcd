"""Which batteries start the engine: those that the starter hangs on, over the fewest contacts. A living or body battery
starts nothing: flat, it leaves its users without light, and the engine starts all the same."""

from collections import deque

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import is_one_metal
from circuitmap.wiring.parts import Battery, Ground
from circuitmap.wiring.usual import has_higher_voltage

_PROTECTIVE = ("fuse", "link", "breaker")


def starts_the_engine(circuit: Circuit, battery: str) -> bool:
    """Whether this battery does, as far as the sheets tell: where no starter is typed in, or the way to it, any may;
    and two in series do so together."""
    platform = circuit.platform
    batteries = [part.name for part in platform.parts.values() if isinstance(part, Battery)]
    starters = [part.name for part in platform.loads if part.kind == "starter"]
    if len(batteries) < 2 or not starters or has_higher_voltage(platform):
        return True
    found = {its for name in starters for its in _nearest(circuit, name)}
    return not found or battery in found


def _nearest(circuit: Circuit, starter: str) -> set[str]:
    """The batteries at the end of the ways from a starter that pass the fewest contacts."""
    parts = circuit.platform.parts
    todo = deque((circuit.number[terminal], 0) for terminal in circuit.terminals_of.get(starter, ()))
    best: dict[int, int] = {}
    found: dict[str, int] = {}
    while todo:
        node, contacts = todo.popleft()
        part = circuit.nodes[node].part
        if best.get(node, contacts + 1) <= contacts or isinstance(parts.get(part), Ground):
            continue
        best[node] = contacts
        if isinstance(parts.get(part), Battery):
            found[part] = min(contacts, found.get(part, contacts))
            continue
        for i in circuit.at[node]:
            link = circuit.links[i]
            others = [end for end in circuit.ends[i] if end != node]
            if is_one_metal(link) or link.kind in _PROTECTIVE:
                todo.extendleft((end, contacts) for end in others)
            elif link.kind == "contact":
                todo.extend((end, contacts + 1) for end in others)
    return {name for name, contacts in found.items() if contacts == min(found.values())}
