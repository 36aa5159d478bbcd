"""Why a load only may draw: a module's output decides, current comes through another load, or it is not known."""

from typing import Literal, NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.power.nearest import Side
from circuitmap.power.nets import YES
from circuitmap.power.why import Reason, why
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Relay, Terminal


class Doubt(NamedTuple):
    """`output`: it draws when a module turns an output on, directly or by way of a relay. `in series`: it carries
    current through the loads and coils in `others`. `not known`: something on its ways was not typed in."""

    kind: Literal["output", "in series", "not known"]
    others: tuple[str, ...] = ()


def doubt_of(powered: Powered, load: str) -> Doubt:
    """What it depends on whether a load draws that may."""
    others = in_series_with(powered, load)
    if others:
        return Doubt("in series", others)
    pins = powered.circuit.loads[load]
    sides: tuple[tuple[tuple[Terminal, ...], Side], ...] = ((pins.supplies, "supply"), (pins.grounds, "ground"))
    for ends, side in sides:
        for end in ends:
            if _waits_for_output(powered, why(powered, end, side), set()):
                return Doubt("output")
    return Doubt("not known")


def in_series_with(powered: Powered, load: str) -> tuple[str, ...]:
    """The loads and relays through which a load carries current that it would not carry alone."""
    takers, reach, nets = powered.run.takers, powered.settled.reach, powered.nets
    carrying = [n for n in sorted(reach.in_series) if takers.all[n] is not None]
    at: dict[int, list[int]] = {}
    for n in carrying:
        for net in _loose_ends(powered, n):
            at.setdefault(net, []).append(n)
    todo = [net for n in carrying if powered.name_of_taker(n) == load for net in _loose_ends(powered, n)]
    seen, found = set(todo), {}
    while todo:
        net = todo.pop()
        beyond = [end for n in at.get(net, ()) for end in _loose_ends(powered, n)]
        found.update(dict.fromkeys(at.get(net, ())))
        for neighbours in (nets.towards_load[net], nets.towards_supply[net]):
            beyond += [other for other, gate in neighbours if powered.settled.levels[gate] == YES]
        for other in beyond:
            if other not in seen and not reach.supply[other] and not reach.ground[other]:
                seen.add(other)
                todo.append(other)
    names = dict.fromkeys(powered.name_of_taker(n) for n in sorted(found))
    return tuple(name for name in names if name != load)


def _loose_ends(powered: Powered, taker: int) -> list[int]:
    """The nets at a load or coil that are neither live nor grounded."""
    its, reach = powered.run.takers.all[taker], powered.settled.reach
    return [net for net in its or () if not reach.supply[net] and not reach.ground[net]]


def _waits_for_output(powered: Powered, reason: Reason, asked: set[str]) -> bool:
    """Whether an output that may be on, or a relay that waits for one, is on this way."""
    for step in reason.steps:
        if step.link is None or step.answer != Answer.MAY_BE:
            continue
        if step.link.output is not None:
            return True
        relay = powered.circuit.platform.parts.get(step.link.part)
        if isinstance(relay, Relay) and relay.name not in asked:
            asked.add(relay.name)
            sides: tuple[Side, ...] = ("supply", "ground")
            for pin in relay.coil:
                if any(
                    _waits_for_output(powered, why(powered, Terminal(relay.name, pin), side), asked) for side in sides
                ):
                    return True
    return False
