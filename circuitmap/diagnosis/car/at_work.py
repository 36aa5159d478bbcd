"""What runs because it was switched on: behind a consumer's own switch that stands at on by the card, what its control
runs on request.

A refrigerator whose switch is on runs its compressor now and then, and that is no fault. A main switch that is on says
nothing of the kind: much hangs on it, and nobody asked each of these to run.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.wiring.usual import limit_of

NEAR = 0.1
"""Beyond what the sheets give for all that is on, this share of it is what consumers differ by (judgement)."""
RUNS = 0.7
"""The chance that what was switched on, and can be running by what was read, runs (judgement)."""


class AtWork(NamedTuple):
    """A load that a switch at on lets run, its control `module`, and what it brings then."""

    switch: str
    module: str
    load: str
    flows: tuple[Flow, ...]

    @property
    def amps(self) -> float:
        """What it takes running, in A."""
        return sum(flow.mean for flow in self.flows)

    @property
    def variance(self) -> float:
        """The variance of that, in A^2."""
        return sum(flow.variance for flow in self.flows)

    @property
    def perhaps(self) -> Iterator[Flow]:
        """Its currents, as far as it may rest just now."""
        for flow in self.flows:
            mean, variance = RUNS * flow.mean, RUNS * (flow.variance + flow.mean**2) - (RUNS * flow.mean) ** 2
            yield flow._replace(mean=mean, variance=variance, whole=(mean, variance))


def may_be_at_work(parked: Parked) -> tuple[AtWork, ...]:
    """The loads that may run because a switch of their own was turned on."""
    return tuple(one for switch, module in _switched_on(parked) for one in _run_by(parked, switch, module))


def _switched_on(parked: Parked) -> Iterator[tuple[str, str]]:
    """Each switch that was turned on, by the card, and the one module that it feeds, with no fuse between them."""
    for name in parked.turned:
        behind = {m: parked.pins_of(m) for m in parked.plan.sleeper_number}
        fed = {m: pins for m, pins in behind.items() if any(name in way.through for _, _, way in pins)}
        if len(fed) != 1:
            continue
        module, pins = next(iter(fed.items()))
        ways = (parked.ways.to(terminal) for terminal in parked.circuit.terminals_of.get(name, ()))
        before = {way.places for way in ways if way is not None}
        if all(way.places in before for _, _, way in pins):
            yield name, module


def _run_by(parked: Parked, switch: str, module: str) -> Iterator[AtWork]:
    outputs = [o for o in parked.platform.outputs if o.module == module and o.when == "request"]
    if not outputs:
        return
    state = replace(parked.state, stuck=frozenset(output.contact for output in outputs))
    by_load: dict[str, list[Flow]] = {}
    for flow in parked.brought_by(parked.evaluated(state)):
        if flow.key.taken == "running" and not flow.assumed and switch in flow.way.through:
            by_load.setdefault(flow.owner, []).append(flow)
    for load, flows in by_load.items():
        if sum(flow.mean for flow in flows) > limit_of(parked.platform):
            yield AtWork(switch, module, load, tuple(flows))
