"""Which single thing two probes have shown to be interrupted: with the load switched on, plus on its one side and next
to nothing on the other.
"""

from collections.abc import Mapping

from circuitmap.circuit.links import BODY, Circuit
from circuitmap.dead.breaks import Break
from circuitmap.power.functions import Function
from circuitmap.volts.nominal import nominal_volts
from circuitmap.wiring.parts import Terminal

_LOST = 0.5
"""Share of the nominal volts that an interrupted thing takes with the load on (judgement: no sound one takes a
twentieth)."""


def probed_through(circuit: Circuit, probed: Mapping[Terminal, float], dead: "tuple[Function, ...]") -> Break | None:
    """The fuse, wire, cavity, contact, coil's load or ground both of whose sides were probed, and that keeps the volts
    from a dead load; None where no two probes show that. The body is where the black lead is; where a
    switch lies between, the battery's minus."""
    at_zero = BODY if BODY in circuit.returns or not circuit.returns else circuit.returns[0]
    volts = {at_zero: 0.0, **probed}
    at_cavity = {(its.part, its.pin): value for its, value in volts.items() if its.half}
    nominal = nominal_volts(circuit)
    own = {its.part for its in dead}
    for i, link in enumerate(circuit.links):
        if link.kind in ("battery", "joint", "coil"):
            continue
        # A probe at a cavity was held to one of its halves: for the wires there it stands for both.
        ends = [volts.get(end, at_cavity.get((end.part, end.pin)) if link.wire else None) for end in (link.a, link.b)]
        lost = _LOST * nominal.between(*circuit.ends[i])
        if ends[0] is None or ends[1] is None or abs(ends[0] - ends[1]) < lost:
            continue
        if link.kind == "load":
            if link.part in own:
                return Break("load", link.part, (i,))
            continue
        if link.wire is not None:
            return Break("wire", f"{link.a} {link.b}", (i,))
        if link.kind == "cavity":
            return Break("cavity", str(link.a), (i,))
        if link.contact:
            return Break("contact" if link.output is None else "output", link.contact, (i,))
        if link.kind == "body":
            return Break("ground", link.part, (i,))
        return Break("fuse", link.part, (i,))
    return None
