"""Wires by which one module wakes another: an output that feeds a wake pin. What is wrong at the inputs of the module
at its one end keeps the module at its other end awake."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.power.nets import YES


def wake_lines(parked: Parked, net: int | None = None) -> Iterator[tuple[str, str, frozenset[str]]]:
    """The outputs that are on at times nobody typed and feed a wire that wakes by plus (that of `net` only): the
    module, the output, and the other modules that listen there."""
    circuit, net_of = parked.circuit, parked.powered.nets.net_of
    on_request = [its for its in parked.platform.outputs if its.when == "request" and its.action == "feeds"]
    ends = [(its, net_of[circuit.number[its.terminal]]) for its in on_request if its.terminal in circuit.number]
    ends = [(its, at) for its, at in ends if net is None or at == net]
    if not ends:
        return
    listening: dict[int, set[str]] = {}
    for sleeper in parked.plan.sleepers:
        for wake in sleeper.wake_pins:
            if wake.by == "plus" and not wake.absent:
                listening.setdefault(net_of[wake.node], set()).add(sleeper.name)
    for output, at in ends:
        if listeners := listening.get(at, set()) - {output.module}:
            yield output.module, str(output.terminal), frozenset(listeners)


def driving_its_line(parked: Parked, fault: Fault) -> tuple[Fault, bool] | None:
    """A module that takes a wrong input for true, and wakes others by its wake lines for that; and whether these sleep
    otherwise. None where it has no such line, or all that the line wakes is awake without it."""
    if fault.kind != "wrong-input" or fault.state is None or fault.hangs or not fault.module:
        return None
    lines = [(output, its) for module, output, its in wake_lines(parked) if module == fault.module]
    if not lines or not parked.may_try(fault.module):
        return None
    state = replace(fault.state, stuck=fault.state.stuck.union(output for output, _ in lines))
    powered = parked.evaluated(state)
    brings = parked.converters.apart(parked.brought_by(powered))
    if {flow.key for flow in brings} <= {flow.key for flow in fault.brings}:
        return None
    awake, plan = parked.evaluated(fault.state).settled.standing.awake, parked.plan
    slept = any(awake[n] != YES for _, its in lines for name in its for n in plan.sleepers_called(name))
    networks = frozenset(name for name, answer in powered.networks.items() if answer == YES)
    return replace(
        fault, brings=brings, state=state, wakes=fault.wakes | networks, hangs=tuple(output for output, _ in lines)
    ), slept
