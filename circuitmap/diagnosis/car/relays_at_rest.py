"""Relays of which nobody typed in what drives the coil, as on a fuse chart: on a sound parked vehicle they are let go.

A relay is there to switch something on. That its coil might be held by what is on no sheet would make all behind it
perhaps live, and a current there no sign of anything.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import evaluate
from circuitmap.power.plan import plan_of
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Relay, Terminal


def let_go(circuit: Circuit, state: VehicleState) -> frozenset[str]:
    """The relays that are taken to be let go while parked: those with an end of the coil that no wire comes to. Not
    where a sheet says of what hangs behind them that it is hot at all times, or what is live would not change."""
    names = frozenset(_without_a_wire_at_the_coil(circuit))
    if not names:
        return names
    before = evaluate(circuit, state, requests=Answer.NO).supply
    after = evaluate(circuit, replace(state, released=names), requests=Answer.NO).supply
    always = {stated.part for stated in circuit.platform.stated if stated.always}
    lost = {point.part for point, live in before.items() if live != Answer.NO and after[point] == Answer.NO}
    if lost.isdisjoint(always):
        return names
    return frozenset(name for name in names if _loses(circuit, state, name, before).isdisjoint(always))


def _loses(circuit: Circuit, state: VehicleState, relay: str, before: Mapping[Terminal, Answer]) -> frozenset[str]:
    """The parts that are no longer live, or perhaps live, with one relay let go."""
    after = evaluate(circuit, replace(state, released=frozenset({relay})), requests=Answer.NO).supply
    return frozenset(point.part for point, live in before.items() if live != Answer.NO and after[point] == Answer.NO)


def _without_a_wire_at_the_coil(circuit: Circuit) -> Iterator[str]:
    for coil in plan_of(circuit).coils:
        relay = circuit.platform.parts[coil.relay]
        wired = all(has_a_wire(circuit, end) for end in (coil.plus, coil.minus))
        if isinstance(relay, Relay) and not relay.flashes and not wired:
            yield coil.relay


def has_a_wire(circuit: Circuit, node: int, within: bool = True) -> bool:
    """Whether anything is joined to a terminal from outside of its own part, be it by a row of a fuse chart that names
    the part only."""
    own = circuit.nodes[node].part
    for i in circuit.at[node]:
        link, (a, b) = circuit.links[i], circuit.ends[i]
        if link.part != own:
            return True
        if within and link.kind == "joint" and has_a_wire(circuit, b if node == a else a, within=False):
            return True
    return False
