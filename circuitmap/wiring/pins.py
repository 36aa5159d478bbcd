"""The pins that a part is known to have, and which of them is meant where a sheet prints a stroke for a point."""

from collections.abc import Iterable

from circuitmap.wiring.parts import (
    BODY,
    FIRST,
    LOAD_KINDS,
    SECOND,
    Battery,
    Diode,
    Fuse,
    Joint,
    Load,
    Part,
    Relay,
    Resistor,
    Switch,
)

WITHOUT_PINS = ("splice", "ground", "terminal", "bar")
"""Kinds of parts whose wires all meet in one point."""


def known_pins(part: Part | None, inside: Iterable[str] = ()) -> tuple[str, ...]:
    """The terminals that a part is known to have; `inside` are those of switches inside of it. Empty where none is
    said, and where it has none."""
    match part:
        case Load():
            found: tuple[str, ...] = tuple(part.roles)
        case Relay():
            found = (*part.coil, *(pin for contact in part.contacts for pin in contact[:2]))
        case Switch():
            found = contact_pins(part)
        case Battery():
            return ("+", "-", "mid") if part.series else ("+", "-")
        case Fuse() | Diode() | Resistor():
            return (FIRST, SECOND)
        case Joint():
            return tuple(str(number) for number in range(1, (part.cavities or 0) + 1))
        case _:
            return ()
    return tuple(dict.fromkeys((*found, *inside)))


def contact_pins(switch: Switch) -> tuple[str, ...]:
    """The terminals of a switch's contacts and coils, the body aside."""
    pins = (*(p for c in switch.contacts for p in c[:2]), *(p for coil in switch.coils for p in coil))
    return tuple(dict.fromkeys(pin for pin in pins if pin != BODY))


def asks_pin(part: Part | None) -> bool:
    """Whether no wire can end at this part without a pin."""
    if isinstance(part, Load):
        return part.kind == "module"
    return isinstance(part, Relay | Switch | Battery) or (isinstance(part, Joint) and part.kind == "connector")


def has_printed_pins(kind: str) -> bool:
    """Whether what stands behind a stroke is a pin at parts of this kind: fuses, splices and ground points are numbered
    so themselves."""
    return kind == "connector" or kind in LOAD_KINDS


def is_two_sided(part: Part | None) -> bool:
    """Whether it has two sides, which are 1 and 2."""
    return isinstance(part, Fuse | Diode | Resistor)


def with_points(pin: str) -> str:
    """A pin as the notation tells plug and pin apart: sheets print a point, a stroke or a colon there."""
    return pin.replace("/", ".")


def pin_as_known(pin: str, pins: Iterable[str]) -> str:
    """Which of these pins is meant: the one that is spelt so, or else the only one that differs by strokes and points;
    with points where there is none, or several."""
    known = tuple(pins)
    if pin in known or not ("/" in pin or "." in pin):
        return pin
    found = [its for its in known if with_points(its) == with_points(pin)]
    return found[0] if len(found) == 1 else with_points(pin)
