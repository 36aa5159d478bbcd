"""Loads that are fed but can never be grounded, although their ground wire is typed in."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.power.checks.places import first_wire, listed, severity_by_sheets, wires_at
from circuitmap.power.nets import NO
from circuitmap.power.possible import Possible
from circuitmap.problems import Problem
from circuitmap.wiring.parts import Terminal


def loads_that_cannot_be_grounded(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """One message for all loads whose ground wires meet; a plus on both sides is reported as such."""
    by_net: dict[int, list[Terminal]] = {}
    for load, name in enumerate(could_be.plan.loads):
        paths = [path for path in could_be.plan.paths_of[load] if could_be.nets.paths[path][2] != NO]
        if name in circuit.platform.doubted or not paths:
            continue
        its = [could_be.plan.paths[path] for path in paths]
        if not all(path.ground_known and path.supply_known for path in its):
            continue
        could_be_fed = any(could_be.can_be_live(path.supply) for path in its)
        grounded = any(
            could_be.can_be_grounded(path.ground) or could_be.nets.net_of[path.ground] in could_be.in_series
            for path in its
        )
        if could_be_fed and not grounded:
            pin = circuit.nodes[its[0].ground]
            by_net.setdefault(could_be.nets.net_of[its[0].ground], []).append(pin)
    for net, pins in by_net.items():
        span = first_wire(circuit, pins)
        joined = {terminal.part for pin in pins for terminal in circuit.platform.nets.of(pin)}
        if span is None or joined & circuit.platform.doubted:
            continue
        names = listed(pin.part for pin in pins)
        verb = "have" if len({pin.part for pin in pins}) > 1 else "has"
        if could_be.nets.keeps_ground_out[net]:
            what = f"{names} {verb} plus on both sides."
        else:
            what = f"{names} {verb} a feed and no way to ground: the ground wire leads to nothing that is grounded."
        yield Problem("no-way-to-ground", severity_by_sheets(circuit, wires_at(circuit, pins)), what, span)
