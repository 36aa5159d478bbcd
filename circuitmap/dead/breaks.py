"""What can be interrupted in a state: fuses, wires, cavities, plugs, splices, contacts, outputs, coils, grounds, loads
and networks that have a part in it."""

from collections import deque
from collections.abc import Iterator
from typing import Literal, NamedTuple

from circuitmap.circuit.links import NEVER_CROSSED, Circuit
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import functions_of
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import NO
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Joint, Load, Terminal

BreakKind = Literal[
    "fuse", "wire", "cavity", "plug", "splice", "contact", "output", "coil", "ground", "load", "diode", "resistor",
    "network", "battery", "interface",
]  # fmt: skip

KIND_SHARE: dict[BreakKind, float] = {
    "fuse": 0.30, "load": 0.20, "cavity": 0.18, "wire": 0.14, "contact": 0.10, "output": 0.06, "coil": 0.05,
    "ground": 0.10, "splice": 0.04, "plug": 0.02, "network": 0.02, "interface": 0.02, "battery": 0.02,
    "diode": 0.01, "resistor": 0.01,
}  # fmt: skip
"""How often each kind is what is interrupted (judgement); shared among all of that kind on the platform. Grounds have
two and a half times what their number alone would give them: salt, paint, and a ring that nobody looks at."""


class Break(NamedTuple):
    """One thing that may be interrupted: these links no longer conduct, this network is silent, or one member's own
    side of it is. `name` is the part, contact or network; of a wire its two ends; of an interface `MEMBER@NETWORK`."""

    kind: BreakKind
    name: str
    links: tuple[int, ...]

    @property
    def network(self) -> str:
        return self.name if self.kind == "network" else ""


def breaks_in(powered: Powered) -> tuple[Break, ...]:
    """Everything that may be interrupted and that does, or may, conduct in this state."""
    circuit = powered.circuit
    found = dict.fromkeys(_all(powered))
    return tuple(its for its in found if its.network or any(_conducts(powered, circuit, i) for i in its.links))


def _conducts(powered: Powered, circuit: Circuit, i: int) -> bool:
    link = circuit.links[i]
    if link.kind in ("load", "coil", "battery") or (link.kind == "resistor" and link.part in circuit.loads):
        return powered.nets.link_level[i] != NO
    return level_of(powered, i) != NO


def _all(powered: Powered) -> Iterator[Break]:
    circuit = powered.circuit
    platform = circuit.platform
    for i, link in enumerate(circuit.links):
        if link.kind in PROTECTIVE:
            yield Break("fuse", link.part, (i,))
        elif link.wire is not None:
            yield Break("wire", f"{link.a} {link.b}", (i,))
        elif link.kind == "cavity":
            yield Break("cavity", str(link.a), (i,))
        elif link.kind == "diode":
            yield Break("diode", link.part, (i,))
        elif link.kind == "coil":
            yield Break("coil", link.part, (i,))
        elif link.kind == "body" and link.part in platform.parts and platform.parts[link.part].kind == "ground":
            yield Break("ground", link.part, (i,))
    outputs: dict[Terminal, list[int]] = {}
    for contact, links in circuit.contacts.items():
        output = circuit.links[links[0]].output
        if output is None:
            yield Break("contact", contact, tuple(links))
        else:  # both ways of one pin are one thing
            outputs.setdefault(output.terminal, []).extend(links)
    for pin, its_links in outputs.items():
        yield Break("output", str(pin), tuple(its_links))
    for function in functions_of(circuit):
        if function.kind == "pin" and platform.parts[function.part].kind != "module":
            yield Break("load", function.name, tuple(powered.plan.paths[path].link for path in function.paths))
    for part in platform.parts.values():
        if isinstance(part, Load) and part.name in circuit.loads:
            own = tuple(i for i in circuit.inside.get(part.name, ()) if circuit.links[i].kind in ("load", "output"))
            if own:
                yield Break("load", part.name, own)
        elif isinstance(part, Joint) and part.kind == "connector":
            cavities = circuit.inside.get(part.name, ())
            if len(cavities) > 1:
                yield Break("plug", part.name, tuple(cavities))
        elif isinstance(part, Joint):
            links = tuple(sorted(circuit.opened_by(part.name)))
            if len(links) > 2:
                yield Break("splice", part.name, links)
        elif part.kind == "ground" and getattr(part, "wired", False):
            links = _way_back(powered, part.name)
            if links:
                yield Break("ground", part.name, links)
        elif part.kind == "battery":
            for post in ("+", "-"):
                number = circuit.number.get(Terminal(part.name, post))
                clamp = () if number is None else circuit.at[number]
                leads = tuple(i for i in clamp if circuit.links[i].kind != "battery")
                if leads:
                    yield Break("battery", f"{part.name}.{post}", leads)
        elif part.kind == "resistor":
            yield Break("resistor", part.name, tuple(circuit.inside.get(part.name, ())))
    for network, answer in powered.networks.items():
        if answer != Answer.NO:
            yield Break("network", network, ())


def _way_back(powered: Powered, ground: str) -> tuple[int, ...]:
    """The links by which a ground point that is wired is joined to a battery's minus, or to the body: what sits on it
    stays together when they are lost. All of its links where none of them is nearer than itself."""
    circuit = powered.circuit
    away = powered.derived(_from_minus)
    here = circuit.number.get(Terminal(ground))
    all_of_it = tuple(sorted(circuit.opened_by(ground)))
    if here is None or here not in away:
        return all_of_it
    back = tuple(
        i
        for i in circuit.at[here]
        if i in all_of_it and min(away.get(n, away[here]) for n in circuit.ends[i]) < away[here]
    )
    return back or all_of_it


def _from_minus(powered: Powered) -> dict[int, int]:
    """How many links each node is away from a battery's minus or the body, over what conducts and is no load."""
    circuit, plan = powered.circuit, powered.plan
    found = dict.fromkeys((*(cell.minus for cell in plan.cells), *plan.returns), 0)
    queue = deque(found)
    while queue:
        here = queue.popleft()
        for i in circuit.at[here]:
            if circuit.links[i].kind in NEVER_CROSSED or powered.nets.link_level[i] == NO or level_of(powered, i) == NO:
                continue
            for there in circuit.ends[i]:
                if there not in found:
                    found[there] = found[here] + 1
                    queue.append(there)
    return found


def rows_of(powered: Powered, found: tuple[Break, ...]) -> tuple[tuple[Break, ...], ...]:
    """Breaks that do the same because nothing branches off between them, together: one of each row is settled for
    all."""
    circuit, plan = powered.circuit, powered.plan
    special = {
        *(cell.plus for cell in plan.cells), *(cell.minus for cell in plan.cells), *plan.returns,
        *plan.unknown_supplies, *plan.unknown_grounds, *(node for node, _ in plan.stated),
        *(pin.node for sleeper in plan.sleepers for pin in sleeper.wake_pins),
        *(control.node for path in plan.paths for control in path.controls),
        *(node for path in plan.paths for node in path.needs),
    }  # fmt: skip
    single = {its.links[0]: n for n, its in enumerate(found) if len(its.links) == 1 and its.kind != "coil"}
    leader = list(range(len(found)))

    def find(n: int) -> int:
        while leader[n] != n:
            leader[n] = leader[leader[n]]
            n = leader[n]
        return n

    # Metal that cannot be interrupted by itself (a joint inside a bar) melts its two ends into one node.
    melted = list(range(len(circuit.nodes)))

    def node_of(n: int) -> int:
        while melted[n] != n:
            melted[n] = melted[melted[n]]
            n = melted[n]
        return n

    there = [i for i in range(len(circuit.links)) if powered.nets.link_level[i] != NO]
    for i in there:
        if circuit.links[i].kind == "joint" and not circuit.links[i].one_way:
            a, b = circuit.ends[i]
            melted[node_of(b)] = node_of(a)
    at: dict[int, list[int]] = {}
    for i in there:
        if circuit.links[i].kind == "joint" and not circuit.links[i].one_way:
            continue
        for node in circuit.ends[i]:
            at.setdefault(node_of(node), []).append(i)
    barred = {node_of(node) for node in special}
    for node, links in at.items():
        if len(links) == 2 and node not in barred:
            one, other = (single.get(i) for i in links)
            if one is not None and other is not None:
                leader[find(one)] = find(other)
    rows: dict[int, list[Break]] = {}
    for n, its in enumerate(found):
        rows.setdefault(find(n), []).append(its)
    return tuple(map(tuple, rows.values()))
