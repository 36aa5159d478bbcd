"""Plus joined to ground in a state of the vehicle by contacts, with no load in between."""

from typing import NamedTuple

from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES
from circuitmap.power.why import why


class Short(NamedTuple):
    """The contact that leads to ground, and the fuse before it, which blows; without a fuse the wire glows."""

    contact: str
    fuse: str


def shorts_in(powered: Powered) -> tuple[Short, ...]:
    """All sure short circuits: a closed contact, live on one side and grounded on the other. Of a chain of contacts the
    last is told, the one from which only wire leads to ground."""
    nets, seen, circuit = powered.nets, powered.settled.reach, powered.circuit
    returns = {net for net, _ in powered.run.starts.ground}
    found: dict[Short, None] = {}
    for gate, level in enumerate(powered.settled.levels):
        link = circuit.links[nets.gate_link[gate]]
        if level != YES or not link.contact or link.kind != "contact":
            continue
        for live, grounded in ((link.a, link.b), (link.b, link.a)):
            a, b = (nets.net_of[circuit.number[end]] for end in (live, grounded))
            if b in returns and a not in returns and seen.supply[a] & seen.ground[b]:
                fuses = [s.link.part for s in why(powered, live).steps if s.link and s.link.kind in PROTECTIVE]
                found[Short(link.contact, fuses[-1] if fuses else "")] = None
    return tuple(found)
