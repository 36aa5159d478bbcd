"""Parts that are live in no state of the vehicle, although all their wires are typed in."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.power.checks.places import first_wire, listed, severity_by_sheets, wires_at
from circuitmap.power.nets import NO
from circuitmap.power.possible import Possible
from circuitmap.problems import Problem
from circuitmap.wiring.parts import FIRST, Load, Part, Terminal


def parts_never_live(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """Fuses, loads and coils to which no way leads from a battery; one message for each group that hangs together."""
    for terminals, consumers in _dead_regions(circuit, could_be):
        parts = {terminal.part for terminal in terminals}
        if parts & circuit.platform.doubted:
            continue
        span = first_wire(circuit, terminals)
        if span is None:
            continue
        names = listed(consumers)
        many = len(dict.fromkeys(consumers)) > 1
        yield Problem(
            "never-live",
            severity_by_sheets(circuit, wires_at(circuit, terminals)),
            f"{names} {'are' if many else 'is'} live in no state: no way leads there from a battery.",
            span,
            advice="Where the way begins on a sheet that is not typed in yet, write ? -> in front of it.",
        )


def _dead_regions(circuit: Circuit, could_be: Possible) -> Iterator[tuple[list[Terminal], list[str]]]:
    """Nets that hang together and could never be live, with the fuses, loads and coils that want to be fed there.

    What is dead because a contact before it never closes is left out: that is reported at the contact.
    """
    nets = could_be.nets
    dead = _wanting_supply(circuit, could_be)
    seen: set[int] = set()
    for start in dead:
        if start in seen:
            continue
        region, stack, behind_a_contact = {start}, [start], False
        while stack:
            net = stack.pop()
            for other, gate in (*nets.towards_load[net], *nets.towards_supply[net]):
                if other in could_be.supply:
                    behind_a_contact |= bool(circuit.links[nets.gate_link[gate]].contact)
                elif other not in region and not nets.keeps_supply_out[other]:
                    region.add(other)
                    stack.append(other)
        seen |= region
        if not behind_a_contact:
            terminals = [t for t, node in circuit.number.items() if nets.net_of[node] in region]
            yield terminals, [name for net in sorted(region) for name in dead.get(net, ())]


def _wanting_supply(circuit: Circuit, could_be: Possible) -> dict[int, list[str]]:
    """Nets that could never be live, each with what wants to be fed from it; in the order of the platform's parts."""
    nets, plan = could_be.nets, could_be.plan
    found: dict[int, list[str]] = {}
    minus = frozenset(net for net in range(nets.count) if nets.keeps_supply_out[net])

    def want(node: int, name: str, taker: int = -1) -> None:
        net = nets.net_of[node]
        if net in could_be.supply or net in could_be.in_series or nets.keeps_supply_out[net]:
            return
        if taker < 0 or not could_be.through_others(taker, net, could_be.supply, minus):
            found.setdefault(net, []).append(name)

    for fuse in circuit.platform.fuses:
        feed = circuit.number.get(Terminal(fuse.name, FIRST))
        if feed is not None and not fuse.empty:
            want(feed, fuse.name)
    for number, (path, (_, _, level)) in enumerate(zip(plan.paths, nets.paths, strict=True)):
        if level != NO and path.supply_known and not (path.either_way and could_be.can_be_live(path.ground)):
            if _is_read_by_a_module(circuit, plan.loads[path.load], circuit.nodes[path.supply]):
                continue
            want(path.supply, plan.loads[path.load], number)
    for number, (coil, (one, other, level)) in enumerate(zip(plan.coils, nets.coils, strict=True)):
        for node, net in ((coil.plus, one), (coil.minus, other)):
            if level != NO and net not in could_be.ground:
                want(node, f"the coil of {coil.relay}", could_be.takers.first_coil + number)
    return found


def _is_read_by_a_module(circuit: Circuit, name: str, pin: Terminal) -> bool:
    """Whether a sensor's wire ends at a module that reads it: the module itself feeds it, through that very input."""
    parts = circuit.platform.parts
    return parts[name].kind == "sensor" and any(
        parts[end.part].kind == "module" and _reads(parts[end.part], end.pin) for end in circuit.platform.nets.of(pin)
    )


def _reads(module: Part, pin: str) -> bool:
    return isinstance(module, Load) and module.roles.get(pin, "") in ("", "sense", "signal", "wake", "network")
