"""Parts whose two sides are joined by wires alone: the current goes round them."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.checks.ways import are_told, way_by_wires
from circuitmap.wiring.parts import BODY, FIRST, SECOND, Diode, Fuse, Load, Part, Relay, Resistor, Switch, Terminal
from circuitmap.wiring.platform import Platform


def bridged_parts(platform: Platform) -> Iterator[Problem]:
    """One message for all parts between the same two points, at the last of the wires that join these."""
    told: set[Terminal] = set()
    for part in platform.parts.values():
        if part.name in platform.doubted:
            continue
        for what, one, other in _sides(part):
            net = platform.nets.key(one)
            if net != platform.nets.key(other) or net in told:
                continue
            found = way_by_wires(platform, one, part.condition, lambda terminal, end=other: terminal == end)  # type: ignore[misc]
            if found is None or are_told(platform, found[1]):
                continue
            wires = found[1]
            told.add(net)
            span = max(wire.spans[0] for wire in wires)
            yield Problem(
                "bridged",
                Severity.WARNING,
                f"{one} and {other} are joined by wires alone: {what} is bridged.",
                span,
                related=tuple(Related(wire.spans[0], "and by this wire") for wire in wires if wire.spans[0] != span)[
                    :3
                ],
            )
            break


def _sides(part: Part) -> Iterator[tuple[str, Terminal, Terminal]]:
    """What is between two terminals of a part, and the two."""
    name = part.name
    if isinstance(part, Fuse | Diode | Resistor):
        yield name, Terminal(name, FIRST), Terminal(name, SECOND)
    elif isinstance(part, Load):
        pins = tuple(part.roles)
        if part.kind != "module" and len(pins) == 2 and (part.assumed_roles or len(set(part.roles.values())) == 2):
            yield name, Terminal(name, pins[0]), Terminal(name, pins[1])
    elif isinstance(part, Relay):
        yield f"the coil of {name}", Terminal(name, part.coil[0]), Terminal(name, part.coil[1])
        for contact in part.contacts:
            yield f"that contact of {name}", Terminal(name, contact.pin_a), Terminal(name, contact.pin_b)
    elif isinstance(part, Switch):
        for its in part.contacts:
            if BODY not in its[:2]:
                yield f"that contact of {name}", Terminal(name, its.pin_a), Terminal(name, its.pin_b)
