"""What was measured at a part, and tests it as well as a test of the part itself would.

A relay whose contact is closed while nothing drives its coil is at fault itself, and so is a switch that brings plus or
ground while it stands where it should be open: what drives them, and what they feed, need not be tested apart. A module
each of whose inputs was measured at rest, while it drew, believes no wrong one. All of that is how a contact works (no
source is needed).
"""

from collections.abc import Iterable

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import metal_from
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.at_rest import measured_at_rest
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.diagnosis.seen.relays_measured import is_not_driven
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.tries import Try
from circuitmap.evidence.while_it_drew import while_it_drew
from circuitmap.jobs.part_tests import PartTest
from circuitmap.wiring.parts import Load, Relay, Switch


def tests_seen(circuit: Circuit, evidence: Evidence, tries: Iterable[Try]) -> tuple[PartTest, ...]:
    """The relays and switches among what was tried that were measured wrong themselves, each as a test not passed; the
    relays that something drives, as a test of their inputs not passed; and the modules whose inputs were all measured
    at rest, as one that was."""
    names = dict.fromkeys(one.out[0] for one in tries if one.fell and len(one.out) == 1 and not one.turned)
    bad = tuple(PartTest(part=name, what="itself", passed=False) for name in names if _is_bad(circuit, evidence, name))
    drew = while_it_drew(evidence)
    at_rest: tuple[str, ...] = ()
    if drew.volts and any(isinstance(circuit.platform.parts.get(name), Load) for name in names):
        at_rest = measured_at_rest(drew.volts, drew.inputs, prepared_for(circuit, {}, evidence).parked).modules
    held = {one.relay: one.state for one in evidence.relays}
    driven = (PartTest(part=name, what="inputs", passed=False) for name in names if held.get(name) == "held")
    return (*bad, *driven, *(PartTest(part=name, what="inputs", passed=True) for name in names if name in at_rest))


def _is_bad(circuit: Circuit, evidence: Evidence, name: str) -> bool:
    part = circuit.platform.parts.get(name)
    if isinstance(part, Relay):
        states = [one.state for one in evidence.relays if one.relay == name]
        if states:
            return states[-1] == "stuck"
        # That the draw goes on without what drives it says nothing of the wire in between, which may be rubbed.
        return is_not_driven(circuit, evidence.volts, evidence.options, name)
    if isinstance(part, Switch) and part.positions and not part.coils:
        at_rest = evidence.positions.get(name, part.positions[0]) == part.positions[0]
        return at_rest and _brings_what_it_should_not(circuit, evidence, part)
    return False


def _node(circuit: Circuit, one: PinVolts) -> int:
    return circuit.number.get(one.pin, -1)


def _one_metal(circuit: Circuit, evidence: Evidence, start: int, node: int) -> bool:
    return node in metal_from(circuit, start, evidence.options).nodes


def _brings_what_it_should_not(circuit: Circuit, evidence: Evidence, switch: Switch) -> bool:
    """Whether somewhere behind a contact that is open at rest there were plus, or ground, with the switch in, and not
    with it out."""
    supply = circuit.platform.supply_volts
    for i in circuit.inside.get(switch.name, ()):
        if not circuit.links[i].contact or switch.positions[0] in circuit.links[i].closed_in:
            continue
        for end in circuit.ends[i]:
            there = [one for one in evidence.volts if _one_metal(circuit, evidence, end, _node(circuit, one))]
            with_it = [one.volts for one in there if switch.name not in one.without]
            without = [one.volts for one in there if switch.name in one.without]
            plus = any(v >= NEAR_PLUS * supply for v in with_it) and any(v <= NEAR_GROUND * supply for v in without)
            ground = any(v <= NEAR_GROUND * supply for v in with_it) and any(v >= NEAR_PLUS * supply for v in without)
            if plus or ground:
                return True
    return False
