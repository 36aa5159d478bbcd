"""Coils and contacts have two sides."""

from collections.abc import Iterator

from circuitmap.problems import Problem
from circuitmap.wiring.checks.one_sided import Missing, told
from circuitmap.wiring.parts import ANY_PIN, BODY, FIRST, SECOND, Diode, Relay, Resistor, Switch
from circuitmap.wiring.platform import Platform, Wire


def coils_with_one_side(platform: Platform) -> Iterator[Problem]:
    """A relay with a wire at one end of its coil and none at the other can never pull in."""
    yield from told(platform, "coil-one-side", _one_sided_coils(platform), "One side of the coil is not typed in of")


def _one_sided_coils(platform: Platform) -> Iterator[Missing]:
    for part in platform.parts.values():
        if isinstance(part, Relay):
            wired = wired_pins(platform, part.name)
            there = [pin for pin in part.coil if pin in wired]
            if len(there) == 1 and ANY_PIN not in wired:
                (absent,) = (pin for pin in part.coil if pin not in wired) if part.coil[0] != part.coil[1] else ("",)
                headline = f"The coil of {part.name} has a wire at {there[0]} and none at {absent}."
                yield Missing(part.name, headline, wired[there[0]])


def contacts_with_one_side(platform: Platform) -> Iterator[Problem]:
    """A switch or relay that has wires but no contact with a wire at both ends."""
    yield from told(
        platform, "contact-one-side", _one_sided_contacts(platform), "Wires are typed in at one side only of"
    )


def _one_sided_contacts(platform: Platform) -> Iterator[Missing]:
    for part in platform.parts.values():
        if not isinstance(part, Switch | Relay):
            continue
        wired = wired_pins(platform, part.name)
        if ANY_PIN in wired:
            continue
        drawn = {pin for pin, wires in wired.items() if any(wire.kind != "chart" for wire in wires)}
        pins = [pin for contact in part.contacts for pin in contact[:2] if pin in drawn]
        if not pins or any(all(pin in wired or pin == BODY for pin in contact[:2]) for contact in part.contacts):
            continue
        pin = pins[0]
        missing = [p for c in part.contacts if pin in c[:2] for p in c[:2] if p not in wired]
        ends = " or ".join(dict.fromkeys(missing))
        yield Missing(part.name, f"{part.name} has a wire at {pin} and none at {ends}.", wired[pin])


def parts_with_one_end(platform: Platform) -> Iterator[Problem]:
    """A diode or a resistor with a wire at one end only passes nothing on."""
    yield from told(platform, "end-no-wire", _one_ended(platform), "Only one end is typed in of")


def _one_ended(platform: Platform) -> Iterator[Missing]:
    for part in platform.parts.values():
        if isinstance(part, Diode | Resistor):
            wired = wired_pins(platform, part.name)
            if len(wired) == 1 and ANY_PIN not in wired:
                ((there, wires),) = wired.items()
                absent = SECOND if there == FIRST else FIRST
                yield Missing(part.name, f"{part.name} has a wire at {there} and none at {absent}.", wires)


def wired_pins(platform: Platform, part: str) -> dict[str, tuple[Wire, ...]]:
    """The wires at each pin of a part."""
    found: dict[str, list[Wire]] = {}
    for wire in platform.wires_at.get(part, ()):
        for terminal in (wire.a, wire.b):
            if terminal.part == part:
                found.setdefault(terminal.pin, []).append(wire)
    return {pin: tuple(wires) for pin, wires in found.items()}
