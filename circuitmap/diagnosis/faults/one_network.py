"""A gateway that one of its wake pins wakes, with only one of its networks: which of them a pin wakes hardly a sheet
says, and the members of the other sleep on."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates_waking import is_wake_wire
from circuitmap.diagnosis.faults.fault import Fault


def with_one_network(parked: Parked, fault: Fault) -> Iterator[Fault]:
    """The same fault with each network of its gateway awake by itself, where it wakes several of them by a wake pin."""
    joins = {name for gateway in parked.platform.gateways if gateway.module == fault.module for name in gateway.joins}
    awake = fault.wakes & joins
    state = fault.state
    if len(awake) < 2 or state is None or fault.of:
        return
    if not is_wake_wire(fault) and not (fault.kind == "wrong-input" and state.awake <= {fault.module}):
        return
    of = parked.platform.networks_of
    for kept in sorted(awake):
        slept = awake - {kept}
        sleeping = {part for part, networks in of.items() if set(networks) <= slept}
        if not sleeping or not parked.may_try(fault.module):
            continue
        its_state = replace(state, unplugged=state.unplugged | sleeping)
        brings = parked.converters.apart(parked.brought_in(its_state))
        if brings and {flow.key for flow in brings} != {flow.key for flow in fault.brings}:
            yield replace(
                fault, brings=brings, state=its_state, wakes=fault.wakes - slept, asleep=tuple(sorted(slept)),
                about=kept if fault.about in slept else fault.about,
            )  # fmt: skip
