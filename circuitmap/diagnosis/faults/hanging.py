"""A module that hangs: it keeps its network awake, and outputs of it do not turn off either. That is one fault; so is
an input that it believes, and for which it turns outputs on: what a module makes of its inputs no sheet says."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.power.nets import YES

MOST_OUTPUTS = 4
"""Of a module with more outputs that hold relays, only each alone, or all of them, are taken to hang (judgement)."""
MOST_LOOKED_AT, MOST_BY_INPUT = 12, 3
"""Of more outputs none is taken to hang with the network, or to be on by an input: nobody would see which, and each
would be one more fault (judgement)."""


def hanging(parked: Parked, fault: Fault) -> Iterator[Fault]:
    """What a module that is awake does besides where outputs hang, too: each of those that hold a relay, two of them,
    or all."""
    by_input = fault.kind == "wrong-input" and fault.part in parked.platform.parts and not fault.leak and not fault.pin
    if fault.state is None or not fault.wakes or not (by_input or fault.kind == "keeps-awake"):
        return
    outputs = _that_hold_relays(parked, fault.module)
    if not outputs or len(outputs) > (MOST_BY_INPUT if by_input else MOST_LOOKED_AT):
        return
    sets: list[tuple[str, ...]] = [(one,) for one in outputs]
    if 1 < len(outputs) <= MOST_OUTPUTS:
        sets += list(combinations(outputs, 2))
    if len(outputs) > 2:
        sets.append(outputs)
    known = {flow.key for flow in fault.brings}
    for stuck in sets:
        if not parked.may_try(fault.module):
            return
        state = replace(fault.state, stuck=fault.state.stuck.union(stuck))
        brings = parked.brought_in(state)
        if any(flow.holds_a_relay and flow.key not in known for flow in brings):
            yield replace(fault, brings=brings, state=state, hangs=stuck)


def _that_hold_relays(parked: Parked, module: str) -> tuple[str, ...]:
    """The outputs of a module at the end of a relay's coil that is not pulled in while parked."""
    net_of, number = parked.powered.nets.net_of, parked.circuit.number
    standing = parked.powered.settled.standing.relays
    ends = {
        net_of[end]
        for coil in parked.plan.coils
        if standing[parked.plan.relay_number[coil.relay]] != YES
        for end in (coil.plus, coil.minus)
    }
    own = (its.terminal for its in parked.platform.outputs if its.module == module and its.terminal in number)
    return tuple(dict.fromkeys(str(end) for end in own if net_of[number[end]] in ends))
