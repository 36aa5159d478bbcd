"""Which fuses are live in a state of the vehicle, and which contacts the dead ones wait for."""

from collections import deque
from typing import NamedTuple

from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.power.nets import NO, YES
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import FIRST, Fuse, Terminal


class FuseState(NamedTuple):
    """One fuse. `waits_for` are the contacts and outputs, in the order of the current, on a shortest way from what is
    live to a dead fuse that do not conduct; empty for a live one, and where no way is typed in. `may_be_fed_by` are the
    chargers and the like that would make a dead one live, did they feed."""

    name: str
    live: Answer
    waits_for: tuple[str, ...]
    may_be_fed_by: tuple[str, ...] = ()


def hot_fuses(powered: Powered) -> tuple[FuseState, ...]:
    """All fuses, links and breakers that are, or may be, in their slots, as they were typed. A fuse that was pulled is
    live if its feed side is. One search for all of them, linear in the gates."""
    platform, nets = powered.circuit.platform, powered.nets
    waiting, feeding = _waiting(powered), _feeding(powered)
    reach = powered.settled.reach
    found = []
    for part in platform.parts.values():
        if not isinstance(part, Fuse) or part.empty or holds(part.condition, powered.state.fitting) == Answer.NO:
            continue
        feed = Terminal(part.name, FIRST)
        if feed not in powered.circuit.number:
            continue
        net = nets.net_of[powered.circuit.number[feed]]
        level = YES if reach.supply[net] else int(bool(reach.perhaps_supply[net]))
        if level == NO:
            found.append(FuseState(part.name, ANSWERS[level], waiting.get(net, ()), tuple(feeding.get(net, ()))))
        else:
            found.append(FuseState(part.name, ANSWERS[level], ()))
    return tuple(found)


def _feeding(powered: Powered) -> dict[int, list[str]]:
    """For each net that they are joined to as things stand, the parts that may feed back and do not in this state. An
    alternator feeds in no car at rest, and is not named."""
    nets, levels, parts = powered.nets, powered.settled.levels, powered.circuit.platform.parts
    found: dict[int, list[str]] = {}
    done: set[str] = set()
    for cell, source in zip(powered.plan.feeders, nets.feeders, strict=True):
        alternator = parts[cell.battery].kind == "alternator"
        if source.level == NO or alternator or cell.battery in powered.state.feeding or cell.battery in done:
            continue
        done.add(cell.battery)
        seen = {source.plus}
        todo = [source.plus]
        while todo:
            at = todo.pop()
            found.setdefault(at, []).append(cell.battery)
            for other, gate in nets.towards_load[at]:
                if other not in seen and levels[gate] != NO and not nets.keeps_supply_out[other]:
                    seen.add(other)
                    todo.append(other)
    return found


def _waiting(powered: Powered) -> dict[int, tuple[str, ...]]:
    """For each dead net that a live one could feed, the contacts in between that do not conduct."""
    nets, levels, links = powered.nets, powered.settled.levels, powered.circuit.links
    supply = powered.settled.reach.supply
    came: dict[int, tuple[str, ...]] = {net: () for net in range(nets.count) if supply[net]}
    queue = deque(came)
    while queue:
        at = queue.popleft()
        for other, gate in nets.towards_load[at]:
            if other in came or nets.keeps_supply_out[other]:
                continue
            contact = links[nets.gate_link[gate]].contact
            waits = levels[gate] == NO and contact and contact not in came[at]
            came[other] = (*came[at], contact) if waits else came[at]
            queue.append(other)
    return came
