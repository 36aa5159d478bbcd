"""What the pins of loads do where nobody said so: from the reading direction of their wires.

Arriving means supply; leaving to a ground means ground. That is how a diagram is followed from supply to load (common
practice, no source); every role found so is marked as assumed.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from circuitmap.wiring.nets import Nets
from circuitmap.wiring.parts import (
    SECOND,
    Battery,
    Ground,
    Load,
    Part,
    Relay,
    Role,
    Terminal,
    Undeclared,
)
from circuitmap.wiring.platform import Output, Wire

_PASSIVE = ("lamp", "motor", "heater", "solenoid", "horn", "socket", "starter", "load")
_SOURCES = ("alternator", "charger")


def assume_roles(
    parts: Mapping[str, Part], wires: Sequence[Wire], nets: Nets, outputs: Iterable[Output]
) -> tuple[dict[str, Part], list[Output]]:
    """The parts with the roles that follow from the wires, and outputs that a module seems to have.

    A module's pin that leads on to something that is not a ground is taken for an output on request, and one that the
    minus side of a coil or load comes to for an output that grounds on request: it may be on, never surely.
    """
    done = dict(parts)
    for of_modules in (False, True):  # what a module's pins do depends on what the other loads' pins do
        found: dict[str, dict[str, Role]] = {}
        for wire in wires:
            for terminal, arriving in ((wire.b, True), (wire.a, False)):
                part = parts[terminal.part]
                if isinstance(part, Load) and (part.kind == "module") == of_modules and terminal.pin not in part.roles:
                    roles = found.setdefault(part.name, {})
                    if roles.get(terminal.pin, "") in ("", "output"):
                        roles[terminal.pin] = _role(done, nets, part, terminal, arriving) or roles.get(terminal.pin, "")
        for name, roles in found.items():
            done[name] = _with_assumed(done[name], {pin: role for pin, role in roles.items() if role})
    declared = {output.terminal for output in outputs}
    return done, _assumed_outputs(done, wires, declared)


def _with_assumed(part: Part, roles: Mapping[str, Role]) -> Part:
    assert isinstance(part, Load)
    return replace(part, roles={**part.roles, **roles}, assumed_roles=part.assumed_roles | frozenset(roles))


def _assumed_outputs(parts: Mapping[str, Part], wires: Iterable[Wire], declared: set[Terminal]) -> list[Output]:
    found: dict[Terminal, Output] = {}
    for wire in wires:
        for terminal, arriving in ((wire.b, True), (wire.a, False)):
            part = parts[terminal.part]
            if not isinstance(part, Load) or terminal.pin not in part.assumed_roles or terminal in declared:
                continue
            if part.roles[terminal.pin] == "output" and terminal not in found:
                found[terminal] = Output(
                    module=part.name,
                    pin=terminal.pin,
                    action="grounds" if arriving else "feeds",
                    assumed=True,
                    condition=wire.condition,
                    span=wire.spans[0],
                )
    return list(found.values())


def _role(parts: Mapping[str, Part], nets: Nets, part: Load, terminal: Terminal, arriving: bool) -> Role:
    joined = [other for other in nets.of(terminal) if other != terminal]
    if any(_is_ground(parts, other) for other in joined):
        return "ground"
    if part.kind in _SOURCES:
        return "supply"
    if arriving:
        if (
            part.kind == "module"
            and joined
            and all(_is_minus_side(parts, other) for other in _not_joints(parts, joined))
        ):
            return "output"
        return "supply"
    if part.kind in _PASSIVE:
        return "ground"
    return "output" if part.kind == "module" else ""


def _not_joints(parts: Mapping[str, Part], terminals: Iterable[Terminal]) -> list[Terminal]:
    return [t for t in terminals if parts[t.part].kind not in ("splice", "connector", "terminal", "bar")]


def _is_ground(parts: Mapping[str, Part], terminal: Terminal) -> bool:
    part = parts[terminal.part]
    return isinstance(part, Ground) or (isinstance(part, Battery) and terminal.pin == "-")


def _is_minus_side(parts: Mapping[str, Part], terminal: Terminal) -> bool:
    """The side of a coil, lamp or motor that is towards ground."""
    part = parts[terminal.part]
    if isinstance(part, Relay):
        return terminal.pin == part.coil[1]
    if isinstance(part, Load):
        return part.kind in _PASSIVE and (terminal.pin == SECOND or part.roles.get(terminal.pin) == "ground")
    return isinstance(part, Undeclared) and terminal.pin == SECOND
