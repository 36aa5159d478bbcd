"""Pieces of metal that are on plus although nothing drawn feeds them: a fuse there draws, and with the relay or switch
out that would feed it the draw went on as it was."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.weighing.outcomes import LEAST_FALL
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.tries import Try
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.nets import NO
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer, Fitting
from circuitmap.wiring.parts import FIRST, Fuse, Relay, Switch, Terminal


def points_by_draw(
    circuit: Circuit, fitting: Fitting, evidence: Evidence
) -> dict[Terminal, tuple[frozenset[str], ...]]:  # fmt: skip
    """For each such piece of metal one point, that of its bar if it has one, with all that was out for nothing."""
    parts = circuit.platform.parts
    outs = [frozenset(one.out) for one in evidence.tries if _went_on(one)]
    outs = [out for out in outs if all(isinstance(parts.get(name), Relay | Switch) for name in out)]
    drawing = {r.place for r in evidence.readings if r.speaks == "parked" and r.shows_current and not r.without}
    fuses = [Terminal(name, FIRST) for name in sorted(drawing) if isinstance(parts.get(name), Fuse)]
    if not outs or not fuses:
        return {}
    state = VehicleState(fitting=fitting, unplugged=frozenset(evidence.absent), switches=dict(evidence.positions))
    parked = evaluate(circuit, state, requests=Answer.NO)
    found: dict[int, dict[frozenset[str], None]] = {}
    for fuse in fuses:
        if fuse in circuit.number and parked.supply[fuse] == Answer.NO:
            net = parked.nets.net_of[circuit.number[fuse]]
            its = [out for out in outs if any(net in _switched_by(parked, name) for name in out)]
            if its:
                found.setdefault(net, {}).update(dict.fromkeys(its))
    return {_point_of(parked, net): tuple(sorted(its, key=sorted)) for net, its in found.items()}


def _went_on(one: Try) -> bool:
    """Whether the draw was read with something out, and without anything turned, and was what it had been."""
    before, after = one.before, one.after
    if one.turned or before is None or before.amps is None or after.amps is None:
        return False
    return before.amps - after.amps < LEAST_FALL * before.amps and not after.change


def _switched_by(parked: Powered, name: str) -> Iterator[int]:
    """The nets at the contacts of a relay or switch."""
    circuit, net_of = parked.circuit, parked.nets.net_of
    for link in circuit.inside.get(name, ()):
        if circuit.links[link].contact and parked.nets.link_level[link] != NO:
            yield from (net_of[end] for end in circuit.ends[link])


def _point_of(parked: Powered, net: int) -> Terminal:
    circuit = parked.circuit
    its = [node for n, node in enumerate(circuit.nodes) if parked.nets.net_of[n] == net]
    bars = [node for node in its if (part := circuit.platform.parts.get(node.part)) is not None and part.kind == "bar"]
    fuses = [node for node in its if isinstance(circuit.platform.parts.get(node.part), Fuse)]
    return min(bars or fuses)
