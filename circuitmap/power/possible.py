"""What could be live or grounded in some state of the vehicle, however unlikely; what could not is a slip."""

from collections.abc import Sequence
from dataclasses import dataclass

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import evaluate
from circuitmap.power.nets import NO, YES, Neighbours, Nets
from circuitmap.power.plan import Plan
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Fitting


@dataclass(frozen=True, slots=True)
class Possible:
    """Nets that could be live, and that could be grounded, were every switch turned, every module awake, every option
    fitted that may be. A relay can only pull in if its coil could be live on one side and grounded on the other.

    `in_series` are nets between loads that carry current through one another: live through the one, grounded through
    the other."""

    plan: Plan
    nets: Nets
    supply: frozenset[int]
    ground: frozenset[int]
    relays: frozenset[int]
    in_series: frozenset[int]

    def can_be_live(self, node: int) -> bool:
        return self.nets.net_of[node] in self.supply

    def can_be_grounded(self, node: int) -> bool:
        return self.nets.net_of[node] in self.ground


def possible(circuit: Circuit, fitting: Fitting) -> Possible:
    """The hopeful end: grows from nothing until no relay more could pull in."""
    parked = evaluate(circuit, VehicleState(fitting=fitting))
    plan, nets, starts = parked.plan, parked.nets, parked.run.starts
    supply_starts = {net for net, _ in (*starts.supply, *starts.perhaps_supply)}
    supply_starts |= {nets.net_of[node] for node, _ in plan.stated}
    ground_starts = {net for net, _ in (*starts.ground, *starts.perhaps_ground)}
    relays: set[int] = {plan.relay_number[coil.relay] for coil in plan.coils if coil.relay in parked.state.driven}
    while True:
        closes = [_can_close(plan, link, relays) for link in nets.gate_link]
        supply = _joined(supply_starts, nets.towards_load, closes, nets.keeps_supply_out)
        ground = _joined(ground_starts, nets.towards_supply, closes, nets.keeps_ground_out)
        pulled_in = relays | {
            plan.relay_number[coil.relay]
            for coil, (plus, minus, level) in zip(plan.coils, nets.coils, strict=True)
            if level != NO and ((plus in supply and minus in ground) or (minus in supply and plus in ground))
        }
        if pulled_in == relays:
            takers = parked.run.takers
            levels = [YES if closed else NO for closed in closes]
            carrying = takers.carrying(levels, _marked(nets, supply - ground), _marked(nets, ground))
            between = {net for n in carrying for net in takers.all[n] or ()} - supply - ground
            return Possible(plan, nets, frozenset(supply), frozenset(ground), frozenset(relays), frozenset(between))
        relays = pulled_in


def _marked(nets: Nets, those: set[int]) -> list[int]:
    return [int(net in those) for net in range(nets.count)]


def _can_close(plan: Plan, link: int, relays: set[int]) -> bool:
    if link in plan.relay_contacts:
        contact = plan.relay_contacts[link]
        return not contact.energised or contact.relay in relays
    return True


def _joined(
    starts: set[int], neighbours: tuple[Neighbours, ...], closes: Sequence[bool], kept_out: Sequence[int]
) -> set[int]:
    found, stack = set(starts), list(starts)
    while stack:
        for other, gate in neighbours[stack.pop()]:
            if closes[gate] and other not in found and not kept_out[other]:
                found.add(other)
                stack.append(other)
    return found
