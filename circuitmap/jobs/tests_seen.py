"""What was measured at a relay or a switch, and tests it as well as a test of the part itself would.

A relay whose contact is closed while nothing drives its coil is at fault itself, and so is a switch that brings plus or
ground while it stands where it should be open: what drives them, and what they feed, need not be tested apart. All of
that is how a contact works (no source is needed).
"""

from collections.abc import Iterable

from circuitmap.circuit.link import NEVER_CROSSED
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import metal_from
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.diagnosis.seen.relays_measured import coils_of, is_not_driven
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.tries import Try
from circuitmap.jobs.part_tests import PartTest
from circuitmap.wiring.parts import Relay, Switch


def tests_seen(circuit: Circuit, evidence: Evidence, tries: Iterable[Try]) -> tuple[PartTest, ...]:
    """The relays and switches among what was tried that were measured wrong themselves, each as a test not passed."""
    tries = tuple(tries)
    went, stayed = [one for one in tries if one.fell], [one for one in tries if not one.fell]
    names = dict.fromkeys(one.out[0] for one in went if len(one.out) == 1 and not one.turned)
    return tuple(PartTest(part=n, what="itself", passed=False) for n in names if _is_bad(circuit, evidence, n, stayed))


def _is_bad(circuit: Circuit, evidence: Evidence, name: str, stayed: Iterable[Try]) -> bool:
    part = circuit.platform.parts.get(name)
    if isinstance(part, Relay):
        states = [one.state for one in evidence.relays if one.relay == name]
        if states:
            return states[-1] == "stuck"
        return is_not_driven(circuit, evidence.volts, evidence.options, name) or any(
            _ends_its_coil(circuit, name, one) for one in stayed
        )
    if isinstance(part, Switch) and part.positions and not part.coils:
        at_rest = evidence.positions.get(name, part.positions[0]) == part.positions[0]
        return at_rest and _brings_what_it_should_not(circuit, evidence, part)
    return False


def _node(circuit: Circuit, one: PinVolts) -> int:
    return circuit.number.get(one.pin, -1)


def _one_metal(circuit: Circuit, evidence: Evidence, start: int, node: int) -> bool:
    return node in metal_from(circuit, start, evidence.options).nodes


def _ends_its_coil(circuit: Circuit, relay: str, one: Try) -> bool:
    """Whether the draw went on with something out without which nothing can drive the coil, and with which something
    can."""
    if one.turned or one.after.speaks != "parked" or one.before is None or one.before.amps is None or relay in one.out:
        return False
    if one.after.amps is None or one.after.change:
        return False
    opened = frozenset[int]().union(*(circuit.opened_by(name) for name in one.out))
    return _may_be_driven(circuit, relay, frozenset()) and not _may_be_driven(circuit, relay, opened)


def _may_be_driven(circuit: Circuit, relay: str, opened: frozenset[int]) -> bool:
    """Whether some coil of a relay has plus and ground in some state, without these links."""
    number = circuit.number
    supplies = {number[end] for end in (*circuit.supplies, *circuit.unknown_supplies) if end in number}
    returns = {number[end] for end in (*circuit.returns, *circuit.unknown_grounds) if end in number}
    plus, ground = _reached(circuit, supplies, opened, returns), _reached(circuit, returns, opened, supplies)
    return any(circuit.ends[i][0] in plus and circuit.ends[i][1] in ground for i in coils_of(circuit, relay))


def _reached(circuit: Circuit, starts: set[int], opened: frozenset[int], never: set[int]) -> set[int]:
    """Nodes that may be fed, or grounded, whatever contacts do, without these links."""
    found, todo = {*starts}, [*starts]
    while todo:
        here = todo.pop()
        for i in circuit.at[here]:
            if i in opened or circuit.links[i].kind in NEVER_CROSSED:
                continue
            new = [end for end in circuit.ends[i] if end not in found and end not in never]
            found.update(new)
            todo += new
    return found


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
