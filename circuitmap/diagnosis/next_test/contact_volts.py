"""What a voltmeter shows at a switch's contact that is open, and what if it never opens: it follows from where the
contact sits, before the load that it switches or behind it."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Literal, NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.power.evaluate import Powered
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Load, Switch, Terminal

Side = Literal["plus", "ground"]
SIDES: tuple[Side, ...] = ("plus", "ground")


class ContactVolts(NamedTuple):
    """The contacts of a switch at its position of rest, as a voltmeter to ground sees them. `brings` is what they bring
    when closed: plus, or ground. `probes` are the points beyond them, which have that only while they are closed: a
    module's pin on the same wire if there is one, else the switch's own. `closed` is how they should be at rest."""

    switch: str
    brings: Side
    probes: tuple[str, ...]
    closed: bool


def contacts_to_prove(parked: Parked, names: Iterable[str], faults: Iterable[Fault]) -> tuple[ContactVolts, ...]:
    """For each of these parts that is a switch, the contacts that its faults may be about; none where the circuit does
    not say what they bring, or nobody may probe them: volts then say nothing."""
    found = []
    for name in dict.fromkeys(names):
        part = parked.platform.parts.get(name)
        if isinstance(part, Switch):
            found += list(_of_switch(parked, part, [fault for fault in faults if fault.part == name]))
    return tuple(found)


def _of_switch(parked: Parked, switch: Switch, faults: list[Fault]) -> Iterator[ContactVolts]:
    links = [link for link, planned in parked.plan.switch_contacts.items() if planned.switch == switch.name]
    named = {fault.contact for fault in faults} if not any(fault.has("inputs") for fault in faults) else set()
    about = [link for link in links if parked.circuit.links[link].contact in named] or links
    told = [its for link in about if (its := _at(parked, switch, link)) is not None]
    for one in told[:1]:
        alike = [its for its in told if (its.brings, its.closed) == (one.brings, one.closed)]
        yield one._replace(probes=tuple(dict.fromkeys(probe for its in alike for probe in its.probes)))


def _at(parked: Parked, switch: Switch, link: int) -> ContactVolts | None:
    """One contact: what comes to the one end of it with the contact closed, and not with it open."""
    planned, circuit = parked.plan.switch_contacts[link], parked.circuit
    positions = switch.positions or ("",)
    open_in = next((p for p in (planned.rest, *positions) if p not in planned.closed_in), None)
    closed_in = next((p for p in positions if p in planned.closed_in), None)
    if open_in is None:
        return None
    opened, shut = _stands(parked, switch, open_in), _stands(parked, switch, closed_in, circuit.links[link].contact)
    ends = [circuit.nodes[end] for end in circuit.ends[link]]
    for brings in SIDES:
        beyond = [end for end in ends if not _has(opened, end, brings)]
        if len(beyond) == 1 and _has(shut, beyond[0], brings):
            probe = _at_a_module(parked, opened, beyond[0])
            closed = planned.rest in planned.closed_in
            return ContactVolts(switch.name, brings, (probe,), closed) if probe else None
    return None


def _stands(parked: Parked, switch: Switch, position: str | None, stuck: str = "") -> Powered:
    """The parked car with a switch at a position; with its contact stuck closed where it has none for that."""
    if position is None:
        state = replace(parked.state, stuck=frozenset({stuck}))
    elif switch.is_key:
        state = replace(parked.state, key=position)
    else:
        state = replace(parked.state, switches={**parked.state.switches, switch.name: position})
    return parked.looked_at(state, frozenset())


def _has(powered: Powered, terminal: Terminal, what: Side) -> bool:
    levels = powered.supply if what == "plus" else powered.ground
    return levels.get(terminal, Answer.NO) == Answer.YES


def _at_a_module(parked: Parked, powered: Powered, end: Terminal) -> str:
    """Where the wire beyond a contact is probed: at the pin of a module that watches it, else at the contact; empty
    where neither may be touched."""
    nets, circuit = powered.nets, parked.circuit
    net = nets.net_of[circuit.number[end]]
    for number, node in enumerate(circuit.nodes):
        part = parked.platform.parts.get(node.part)
        if nets.net_of[number] != net or not isinstance(part, Load) or not circuit.hands_off.may_probe(str(node)):
            continue
        if node.pin in (*part.pins_with("sense"), *part.pins_with("wake")):
            return str(node)
    return str(end) if circuit.hands_off.may_probe(str(end)) else ""
