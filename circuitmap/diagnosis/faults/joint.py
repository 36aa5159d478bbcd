"""Pairs of faults that together do other things than each apart: one's contact feeds what the other wakes, or joins
two batteries, which then share what the other takes."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import islice

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.faults.between_batteries import both_drawn_from
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.weighing.weights import Together

MOST_JOINT = 400
"""How many pairs of either kind are evaluated anew, the likeliest first (judgement: the rest weigh next to nothing)."""


def joint_faults(parked: Parked, faults: Sequence[Fault]) -> tuple[tuple[Fault, ...], tuple[Together, ...]]:
    """A joint fault for each such pair, to stand after `faults`, and the two faults that it stands for."""
    feeding = [(n, newly) for n, fault in enumerate(faults) if (newly := _newly_fed(parked, fault))]
    waking = [(n, fault) for n, fault in enumerate(faults) if fault.kind == "keeps-awake" and fault.state is not None]
    pairs = []
    for a, newly in feeding:
        networks = {network for module in newly for network in parked.platform.networks_of.get(module, ())}
        pairs += [(a, b) for b, fault in waking if fault.wakes & networks]
    pairs.sort(key=lambda pair: (-faults[pair[0]].odds * faults[pair[1]].odds, pair))
    effects: dict[tuple[int, int], tuple[Flow, ...]] = {}
    joint: list[Fault] = []
    together: list[Together] = []
    for a, b in pairs[:MOST_JOINT]:
        one, other = faults[a], faults[b]
        key = (id(one.state), id(other.state))
        if key not in effects:
            effects[key] = _more_than_both(parked, one, other)
        more = effects[key]
        if more:
            both = {flow.key: flow for flow in (*one.brings, *other.brings, *more)}
            assert one.state is not None and other.state is not None
            state = replace(one.state, awake=one.state.awake | other.state.awake)
            fault = replace(
                other,
                brings=tuple(both.values()),
                state=state,
                wakes=one.wakes | other.wakes,
                odds=0.0,
                of=(one, other),
            )
            together.append(Together(a, b, len(faults) + len(joint)))
            joint.append(fault)
    evaluated = {frozenset((its.first, its.second)) for its in together}
    for a, b, fault in islice(both_drawn_from(faults), MOST_JOINT):
        if frozenset((a, b)) not in evaluated:
            together.append(Together(a, b, len(faults) + len(joint)))
            joint.append(fault)
    return tuple(joint), tuple(together)


def _newly_fed(parked: Parked, fault: Fault) -> frozenset[str]:
    """Modules that a stuck contact or held coil feeds although they are dead when parked."""
    closes = fault.has("contact-volts") or fault.has("coil-volts")
    if not closes or fault.state is None:
        return frozenset()
    return frozenset(flow.owner for flow in fault.brings if flow.key.taken == "asleep")


def _more_than_both(parked: Parked, one: Fault, other: Fault) -> tuple[Flow, ...]:
    assert one.state is not None and other.state is not None
    state = replace(one.state, awake=one.state.awake | other.state.awake)
    known = {flow.key for flow in (*one.brings, *other.brings)}
    return parked.brought_by(parked.evaluated(state), but=known)
