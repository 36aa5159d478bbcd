"""Loads that are fed but can never be grounded, although their ground wire is typed in."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.power.checks.places import first_wire, listed, severity_by_sheets, wires_at
from circuitmap.power.nets import NO
from circuitmap.power.possible import Possible
from circuitmap.problems import Problem
from circuitmap.wiring.parts import Battery, Ground, Terminal


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
        grounded = any(_leads_to_ground(could_be, path) for path in paths)
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


def _leads_to_ground(could_be: Possible, number: int) -> bool:
    """Whether the ground side of a load could be grounded, be it through others in series with it."""
    net = could_be.nets.net_of[could_be.plan.paths[number].ground]
    if net in could_be.ground or net in could_be.in_series:
        return True
    return net not in could_be.supply and could_be.through_others(number, net, could_be.ground, could_be.supply)


def batteries_that_ground_nothing(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """A battery whose minus comes to no ground point, where there are some: what it feeds has no way back to it. A
    shunt and a switch on the way are a way."""
    grounds = [n for end, n in circuit.number.items() if isinstance(circuit.platform.parts.get(end.part), Ground)]
    at_ground = {could_be.nets.net_of[node] for node in grounds}
    for end in circuit.returns:
        battery = circuit.platform.parts.get(end.part)
        if not isinstance(battery, Battery) or battery.name in circuit.platform.doubted or not at_ground:
            continue
        wires = list(wires_at(circuit, (end,)))
        span = first_wire(circuit, (end,))
        if span is None or at_ground & _joined_with(could_be, could_be.nets.net_of[circuit.number[end]]):
            continue
        yield Problem(
            "battery-grounds-nothing",
            severity_by_sheets(circuit, wires),
            f"{end} comes to no ground point: what {battery.name} feeds has no way back to it.",
            span,
        )


def _joined_with(could_be: Possible, start: int) -> set[int]:
    """The nets that contacts could join with this one."""
    nets = could_be.nets
    found, stack = {start}, [start]
    while stack:
        net = stack.pop()
        for other, gate in (*nets.towards_supply[net], *nets.towards_load[net]):
            if other not in found and could_be.plan.circuit.links[nets.gate_link[gate]].kind != "battery":
                found.add(other)
                stack.append(other)
    return found
