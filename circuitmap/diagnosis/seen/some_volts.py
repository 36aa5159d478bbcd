"""Some volts at a dead point that feeds a load to ground: by itself it would be on ground there, so current comes."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.points_probed import NEAR_PLUS
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO
from circuitmap.wiring.parts import Terminal, is_unnamed

LEAST = 0.05
"""In V: what the body itself may be off from the battery's minus while something draws (judgement)."""


class Shows(NamedTuple):
    """The chance that a point shows plus, and that it shows some volts, neither that nor ground."""

    plus: float
    some: float = 0.0


DEAD_SHOWS_SOME = 0.01
"""Chance of some volts where nothing comes: the probe was at the pin beside, or the black lead on a bad ground
(judgement)."""
PARTLY = Shows(0.05, 0.75)
"""Where a part of the load's current is let through: so little may flow that nothing is to be seen of it, or so little
be enough for the load that nearly all volts are (judgement)."""
AS_ASKED = Shows(0.30, 0.65)
"""Where an output gives as much as is asked for (judgement)."""
UNLOADED = Shows(0.80, 0.15)
"""With the load out there is nothing left to bring down the volts of what is let through (judgement)."""
LIVE, LIVE_SHOWS_SOME = 0.98, 0.01
"""Chance that a point which is live shows plus, and some volts; a probe that does not touch shows nothing
(judgement)."""


def is_some(one: PinVolts, supply: float) -> bool:
    """Whether volts are more than a display's last digit, and less than plus."""
    return max(LEAST, one.step) < one.volts < NEAR_PLUS * supply


def loads_fed_at(parked: Parked, sound: Powered, pin: Terminal) -> frozenset[str]:
    """The loads that a point feeds to ground, where nothing feeds the point on a sound vehicle; none elsewhere."""
    nets, reach = sound.nets, sound.settled.reach
    net = nets.net_of[parked.circuit.number[pin]]
    if reach.supply[net] or reach.perhaps_supply[net] or reach.ground[net] or reach.perhaps_ground[net]:
        return frozenset()
    plan = parked.plan
    return frozenset(
        name
        for n, name in enumerate(plan.loads)
        if any(
            supply == net and level != NO and reach.ground[ground]
            for supply, ground, level in (nets.paths[path] for path in plan.paths_of[n])
        )
    )


def partly_fed(parked: Parked, fault: Fault) -> list[tuple[str, str]]:
    """The loads that are given a part of their current under a fault, each with the pin of its feed, where that is dead
    on a sound vehicle."""
    if not fault.partly and not _as_it_is_asked(parked, fault):
        return []
    pins = (Terminal(its.owner, its.key.pin) for its in fault.brings if its.key.taken == "running")
    found = (pin for pin in pins if pin in parked.circuit.number and not is_unnamed(pin.pin))
    return [(pin.part, str(pin)) for pin in found if pin.part in loads_fed_at(parked, parked.powered, pin)]


def volts_at_load(
    parked: Parked, faults: Sequence[Fault], numbers: Iterable[int], load: str
) -> dict[int, float]:  # fmt: skip
    """For each of the faults, by number, that bring a load its current, the chance that volts are there."""
    found = {}
    for n in numbers:
        if any(flow.owner == load and flow.key.taken == "running" for flow in faults[n].brings):
            its = shown(faults[n], LIVE, frozenset({load}), parked)
            found[n] = its.plus + its.some
    return found


def _as_it_is_asked(parked: Parked, fault: Fault) -> frozenset[str]:
    """The loads that a fault asks some output to give as much as is asked for."""
    stuck = fault.state.stuck if fault.state is not None else frozenset[str]()
    asked = parked.outputs_as_asked.difference(stuck)
    if not asked:
        return frozenset()
    return frozenset(flow.owner for flow in fault.brings if not asked.isdisjoint(flow.way.through))


def shown(fault: Fault, plus: float, loads: frozenset[str], parked: Parked) -> Shows:
    """What a point shows under a fault, with the chance `plus` by what the circuit alone says; `loads` are those that
    it feeds."""
    if plus != LIVE:
        return Shows(plus, DEAD_SHOWS_SOME if loads else 0.0)
    if fault.partly:
        return PARTLY if loads else UNLOADED
    if not loads:
        return Shows(plus)
    return AS_ASKED if loads & _as_it_is_asked(parked, fault) else Shows(plus, LIVE_SHOWS_SOME)
