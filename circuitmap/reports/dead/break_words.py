"""What may be interrupted, in the trade's words."""

from typing import assert_never

from circuitmap.circuit.links import Circuit
from circuitmap.dead.breaks import Break
from circuitmap.reports.volts.place_words import link_words
from circuitmap.reports.words.part_words import terminal_words
from circuitmap.wiring.parts import Terminal


def break_words(circuit: Circuit, its: Break) -> str:
    """`fuse REAR.F72`, `wire REAR.F72 to SP31 (BK/RD 2.5mm2)`, `coil of REAR.K2`, `SCRL itself`."""
    match its.kind:
        case "fuse" | "wire" | "cavity":
            return link_words(circuit, its.links[0])
        case "coil":
            return f"coil of {its.name}"
        case "load":
            return f"{its.name} itself"
        case "ground":
            return f"ground point {its.name}"
        case "plug":
            return f"plug {its.name} as a whole"
        case "network":
            return f"network {its.name} as a whole (a line shorted, or one member that holds it down)"
        case "interface":
            member, _, network = its.name.partition("@")
            return f"{member}'s own side of {network} (its pins, or inside it)"
        case "battery":
            return f"clamp at {its.name}"
        case "splice" | "contact" | "output" | "diode" | "resistor":
            part = circuit.platform.parts.get(its.name)
            kind = {"bar": "bar", "terminal": "stud"}.get(part.kind, its.kind) if part is not None else its.kind
            return f"{kind} {its.name}"
        case _ as unknown:
            assert_never(unknown)


def probe_words(circuit: Circuit, point: Terminal) -> str:
    """`REAR.F72, outgoing side`; of a cavity, and of an end that has no name of its own, the side of which wire."""
    from circuitmap.reports.volts.place_words import point_words

    words = point_words(circuit.platform, point)
    if point.half or words == point.part:
        ends = (link.other(point) for link in circuit.links_at(point) if link.wire is not None)
        there = next((terminal_words(circuit.platform, end) for end in ends), "")
        if there and point.half:
            return f"{point}, from behind on the wire to {there}"
        if there and len(circuit.terminals_of[point.part]) > 1 and _is_two_ended(circuit, point):
            return f"{words}, on the wire to {there}"
    return words


def _is_two_ended(circuit: Circuit, point: Terminal) -> bool:
    return circuit.platform.parts[point.part].kind in ("diode", "resistor")
