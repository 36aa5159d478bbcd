"""Where the current of what was mended flowed: what was read at other places before it was mended holds since."""

from collections.abc import Collection, Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.evidence import Evidence
from circuitmap.wiring.parts import Battery

Passed = frozenset[str]


def places_passed(circuit: Circuit, evidence: Evidence, names: Collection[str]) -> Passed | None:
    """The places that a current passes which what was mended may have drawn, or let flow: parts, plugs, pins, or what
    was added; None where that is not known of all of it."""
    from circuitmap.diagnosis.prepared import prepared_for  # heavy, and seldom asked for

    parts = circuit.platform.parts
    its = [name for name in names if not isinstance(parts.get(name), Battery)]
    if not its:
        return None
    ready = prepared_for(circuit, {}, evidence)

    def of(name: str) -> Iterator[str]:
        for fault in ready.faults:
            itself = name in (fault.part, fault.module)
            for flow in fault.brings:
                if itself or flow.owner == name or name in flow.way.through:
                    yield from ready.tree.way_places(flow.way.places)

    found = [frozenset(of(name)) for name in its]
    return frozenset[str]().union(*found) if all(found) else None
