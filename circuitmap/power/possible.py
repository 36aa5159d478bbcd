"""What could be live or grounded in some state of the vehicle, however unlikely; anything that could not is a slip."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import evaluate
from circuitmap.power.in_series import Takers
from circuitmap.power.nets import NO, YES, Nets
from circuitmap.power.one_position import Standings, joined_in_some_state
from circuitmap.power.plan import Plan
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Joint, Terminal
from circuitmap.wiring.whole_sheets import is_whole


@dataclass(frozen=True, slots=True)
class Possible:
    """Nets that could be live, and that could be grounded, were every switch turned, every module awake, every option
    fitted that may be; but a switch stands in one position at a time. A relay can only pull in if its coil could be
    live on one side and grounded on the other, be it through another load.

    Where every sheet that shows a splice is whole, nothing more hangs on it: what ends there leads nowhere.

    `in_series` are nets between loads that carry current through one another: live through the one, grounded through
    the other. `apart` are gates of contacts that are open whenever what is live, or grounded, comes to them."""

    plan: Plan
    nets: Nets
    supply: frozenset[int]
    ground: frozenset[int]
    relays: frozenset[int]
    in_series: frozenset[int]
    takers: Takers
    apart: frozenset[int] = frozenset()

    def through_others(self, taker: int, start: int, goal: frozenset[int], but: frozenset[int]) -> bool:
        """Whether current could come from one side of a taker to these nets through other loads, passing none of the
        nets in `but`."""
        around, plan, nets = self.takers.at, self.plan, self.nets
        seen, stack = {start}, [start]
        while stack:
            net = stack.pop()
            beyond = [other for n, other in around.get(net, ()) if n != taker]
            for other, gate in (*nets.towards_load[net], *nets.towards_supply[net]):
                link = nets.gate_link[gate]
                if gate in self.apart or plan.circuit.links[link].kind == "battery":
                    continue
                if _can_close(plan, link, self.relays):
                    beyond.append(other)
            for other in beyond:
                if other in goal:
                    return True
                if other not in seen and other not in but and other not in goal:
                    seen.add(other)
                    stack.append(other)
        return False

    def can_be_live(self, node: int) -> bool:
        return self.nets.net_of[node] in self.supply


def possible(circuit: Circuit, fitting: Fitting) -> Possible:
    """The most hopeful result: grows from nothing until no more relays could pull in."""
    parked = evaluate(circuit, VehicleState(fitting=fitting))
    plan, nets, starts = parked.plan, parked.nets, parked.run.starts
    supply_starts = {net for net, _ in (*starts.supply, *starts.perhaps_supply)}
    supply_starts -= _drawn_whole(circuit, nets, plan.unknown_supplies) - {source.plus for source in nets.sources}
    supply_starts |= {nets.net_of[node] for node, _ in plan.stated}
    ground_starts = {net for net, _ in (*starts.ground, *starts.perhaps_ground)}
    ground_starts -= _drawn_whole(circuit, nets, plan.unknown_grounds) - {net for net, _ in starts.ground}
    standings = Standings(plan, nets)
    relays: set[int] = {plan.relay_number[coil.relay] for coil in plan.coils if coil.relay in parked.state.driven}
    while True:
        closes = [_can_close(plan, link, relays) for link in nets.gate_link]
        supply = joined_in_some_state(supply_starts, nets.towards_load, closes, nets.keeps_supply_out, standings)
        ground = joined_in_some_state(ground_starts, nets.towards_supply, closes, nets.keeps_ground_out, standings)
        pulled_in = relays | {
            plan.relay_number[coil.relay]
            for coil, (plus, minus, level) in zip(plan.coils, nets.coils, strict=True)
            if level != NO and ((plus in supply and minus in ground) or (minus in supply and plus in ground))
        }
        takers = parked.run.takers
        if pulled_in == relays:
            found = Possible(plan, nets, frozenset(supply), frozenset(ground), frozenset(relays), frozenset(), takers)
            pulled_in |= _pulled_through_loads(found)
        if pulled_in == relays:
            apart = frozenset(standings.never_together(supply, ground))
            levels = [YES if closed and gate not in apart else NO for gate, closed in enumerate(closes)]
            carrying = takers.carrying(levels, _marked(nets, supply - ground), _marked(nets, ground))
            between = {net for n in carrying for net in takers.all[n] or ()} - supply - ground
            return replace(found, in_series=frozenset(between), apart=apart)
        relays = pulled_in


def _pulled_through_loads(found: Possible) -> set[int]:
    """The relays whose coil has one side at plus or ground and gets the other through a load."""
    plan, nets, takers = found.plan, found.nets, found.takers
    pulled = set()
    for n, (coil, (plus, minus, level)) in enumerate(zip(plan.coils, nets.coils, strict=True)):
        relay = plan.relay_number[coil.relay]
        if level == NO or relay in found.relays or plus == minus:
            continue
        taker = takers.first_coil + n
        for one, other in ((plus, minus), (minus, plus)):
            live = one in found.supply or (
                not nets.keeps_supply_out[one] and found.through_others(taker, one, found.supply, found.ground)
            )
            grounded = other in found.ground or (
                not nets.keeps_ground_out[other] and found.through_others(taker, other, found.ground, found.supply)
            )
            if live and grounded:
                pulled.add(relay)
    return pulled


def _marked(nets: Nets, those: set[int]) -> list[int]:
    return [int(net in those) for net in range(nets.count)]


def _can_close(plan: Plan, link: int, relays: Collection[int]) -> bool:
    if link in plan.relay_contacts:
        contact = plan.relay_contacts[link]
        return not contact.energised or contact.relay in relays
    return True


def _drawn_whole(circuit: Circuit, nets: Nets, unknown: Iterable[int]) -> set[int]:
    """The nets that would be live or grounded only because more might hang on a splice, where nothing more does."""
    by_net: dict[int, list[Terminal]] = {}
    for node in unknown:
        by_net.setdefault(nets.net_of[node], []).append(circuit.nodes[node])
    return {net for net, terminals in by_net.items() if all(_is_whole(circuit, end) for end in terminals)}


def _is_whole(circuit: Circuit, terminal: Terminal) -> bool:
    """Whether all wires of a splice, stud or bar stand on whole sheets; of one with a single wire that is told apart
    from here."""
    part = circuit.platform.parts.get(terminal.part)
    wires = circuit.platform.wires_at.get(terminal.part, ())
    if not isinstance(part, Joint) or part.kind == "connector" or len(wires) < 2:
        return False
    return all(is_whole(circuit.platform, wire.sheets) for wire in wires)
