"""What a link and a point are called beside a voltmeter."""

from collections.abc import Sequence

from circuitmap.circuit.links import Circuit
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import terminal_words, wire_words
from circuitmap.wiring.parts import Fuse, Terminal
from circuitmap.wiring.platform import Platform


def point_words(platform: Platform, terminal: Terminal) -> str:
    """`SCRL.1`; of a fuse, which side the probe touches; the body."""
    if isinstance(platform.parts.get(terminal.part), Fuse):
        side = {"1": "feed side", "2": "outgoing side"}.get(terminal.pin, f"side {terminal.pin}")
        return f"{terminal.part}, {side}"
    if terminal.part == "case":
        return "the body"
    return terminal_words(platform, terminal)


def link_words(circuit: Circuit, number: int) -> str:
    """`wire REAR.F72 to SP31 (BK/RD 2.5mm2)`, `cavity X31.1`, `fuse REAR.F72`, `contact REAR.K2.87`."""
    if number < 0:
        return "a way that nobody typed in"
    platform = circuit.platform
    link = circuit.links[number]
    a, b = terminal_words(platform, link.a), terminal_words(platform, link.b)
    if link.wire is not None:
        about = wire_words(link.wire)
        return f"wire {a} to {b}" + (f" ({about})" if about != "wire" else "")
    if link.kind == "cavity":
        return f"cavity {a}"
    if link.contact:
        return f"{'output' if link.output else 'contact'} {link.contact}"
    if link.kind == "body":
        return f"{link.part} on the body"
    if link.kind == "joint":
        return f"inside {link.part}"
    return {"link": "fusible link", "breaker": "breaker"}.get(link.kind, link.kind) + f" {link.part}"


def volts_words(volts: float) -> str:
    """`11.6 V`, `0.31 V`, `12 mV`: no more digits than a workshop reads."""
    if abs(volts) < 0.0995:
        return f"{round(volts * 1000) or 0} mV"
    return f"{volts:.2f} V" if abs(volts) < 2 else f"{volts:.1f} V"


def ohms_words(ohms: float) -> str:
    """`0.27 ohm`, `4 mohm`."""
    return f"{ohms * 1000:.2g} mohm" if ohms < 0.0995 else f"{ohms:.2g} ohm"


def between_words(names: Sequence[str]) -> str:
    """`ISO lies between`."""
    return f"{joined(names)} {'lies' if len(names) == 1 else 'lie'} between"
