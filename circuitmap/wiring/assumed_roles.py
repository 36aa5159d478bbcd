"""What the pins of loads do where nobody said so: from the reading direction of their wires.

Arriving means supply; leaving to a ground means ground. That is how a diagram is followed from supply to load (common
practice, no source); every role found so is marked as assumed.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from circuitmap.wiring.nets import JoinedNets
from circuitmap.wiring.parts import (
    SECOND,
    Battery,
    Ground,
    Load,
    Part,
    Relay,
    Role,
    Switch,
    Terminal,
    Undeclared,
    is_unnamed,
)
from circuitmap.wiring.platform import Output, Wire
from circuitmap.wiring.two_ended import Sides, opposite_ends

_PASSIVE = ("lamp", "motor", "heater", "solenoid", "horn", "socket", "starter", "load")
_SOURCES = ("alternator", "charger")
_JOINTS = ("splice", "connector", "terminal", "bar")


def assume_roles(
    parts: Mapping[str, Part], wires: Sequence[Wire], nets: JoinedNets, outputs: Sequence[Output]
) -> tuple[dict[str, Part], list[Output]]:
    """The parts with the roles that follow from the wires, and the outputs that modules seem to have.

    A module's pin that leads on to something other than a ground is taken for an output on request; one to which the
    minus side of a coil or load leads, for an output that grounds on request. Such an output may be on, never surely.
    """
    done = dict(parts)
    grounded = nets.keys_with(lambda terminal: _is_ground(parts, terminal))
    sides = Sides(parts, nets, outputs)
    switched = {
        Terminal(its.inside, pin)
        for its in parts.values()
        if isinstance(its, Switch) and its.inside
        for contact in its.contacts
        for pin in contact[:2]
    }
    switched |= {
        Terminal(its.name, pin)
        for its in parts.values()
        if isinstance(its, Load)
        for pair in its.joined
        for pin in pair
    }
    for of_modules in (False, True):  # what a module's pins do depends on what the other loads' pins do
        found: dict[str, dict[str, Role]] = {}
        for wire in wires:
            for terminal, arriving in ((wire.b, True), (wire.a, False)):
                part = parts[terminal.part]
                if isinstance(part, Load) and (part.kind == "module") == of_modules and terminal.pin not in part.roles:
                    if terminal in switched:
                        continue  # it leads on inside the part
                    roles = found.setdefault(part.name, {})
                    if roles.get(terminal.pin, "") in ("", "output"):
                        is_grounded = nets.key(terminal) in grounded
                        role = "ground" if is_grounded else _role(done, nets, part, terminal, arriving)
                        roles[terminal.pin] = role or roles.get(terminal.pin, "")
        for name, roles in found.items():
            roles.update(opposite_ends(done[name], roles, sides))
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


def _role(parts: Mapping[str, Part], nets: JoinedNets, part: Load, terminal: Terminal, arriving: bool) -> Role:
    """What a pin that is not joined to ground does."""
    if part.kind in _SOURCES:
        return "supply"
    if part.kind == "module":
        return _role_at_module(parts, nets, part, terminal) if arriving else "output"
    if arriving:
        return "supply"
    return "ground" if part.kind in _PASSIVE else ""


def _role_at_module(parts: Mapping[str, Part], nets: JoinedNets, part: Load, terminal: Terminal) -> Role:
    """A wire to a module feeds it, unless it comes from a sensor, or from the ground side of something that the module
    switches, or the module's supply pins were declared: then any other pin is an input."""
    others = [t for t in nets.of(terminal) if t != terminal and parts[t.part].kind not in _JOINTS]
    if others and all(_is_minus_side(parts, other) for other in others):
        return "output"
    if others and all(parts[other.part].kind == "sensor" for other in others):
        return "sense"
    if not is_unnamed(terminal.pin) and any(
        role == "supply" for pin, role in part.roles.items() if pin not in part.assumed_roles
    ):
        return "sense"
    return "supply"


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
