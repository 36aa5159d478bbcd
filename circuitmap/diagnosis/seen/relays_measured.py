"""Which relays were measured before anybody pulled them, and which of them nothing drives."""

from collections.abc import Iterable, Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import metal_from
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Relay


def relays_measured(circuit: Circuit, evidence: Evidence) -> frozenset[str]:
    """Those of which it was said whether they are held or stuck, or whose coil was found without volts."""
    said = {one.relay for one in evidence.relays}
    relays = (part.name for part in circuit.platform.parts.values() if isinstance(part, Relay))
    probed = {one.pin.part for one in evidence.volts}
    undriven = {name for name in relays if probed and is_not_driven(circuit, evidence.volts, evidence.options, name)}
    return frozenset(said | undriven)


def coils_of(circuit: Circuit, relay: str) -> Iterator[int]:
    """The links that are its coil, by number."""
    return (i for i in circuit.inside.get(relay, ()) if circuit.links[i].kind == "coil")


def is_not_driven(circuit: Circuit, volts: Iterable[PinVolts], fitting: Fitting, relay: str) -> bool:
    """Whether volts show that no current flows through its coil: no plus on its plus side, or plus on its minus side as
    well. Only what was read with everything in."""
    supply, number = circuit.platform.supply_volts, circuit.number
    shown = [(number.get(one.pin, -1), one.volts) for one in volts if not one.without]
    coils = list(coils_of(circuit, relay))
    if not coils or not shown:
        return False
    for i in coils:
        plus, minus = (metal_from(circuit, end, fitting).nodes for end in circuit.ends[i])
        dead = any(abs(its) <= NEAR_GROUND * supply and node in plus for node, its in shown)
        open_below = any(its >= NEAR_PLUS * supply and node in minus for node, its in shown)
        if not dead and not open_below:
            return False
    return True
