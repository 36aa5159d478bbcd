"""The pins of modules: what was said of them against the wires that end there."""

from collections.abc import Container, Iterator, Mapping, Sequence

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.checks.switching import wired_pins
from circuitmap.wiring.checks.ways import are_told, way_by_wires
from circuitmap.wiring.parts import Battery, Ground, Joint, Load, Terminal, is_unnamed
from circuitmap.wiring.platform import Output, Platform, Wire
from circuitmap.wiring.whole_sheets import is_whole

Pins = Mapping[str, str]
"""Pins by what was said of them."""


def mistyped_pins(platform: Platform) -> Iterator[Problem]:
    """A pin that was said to be something and has no wire, beside one nearly of its name that has a wire too many: on
    whole sheets the digits were swapped, or one was hit too often."""
    for load, declared, wired in _modules(platform, ("module", "socket")):
        for missing, written in _one_for_another(declared, wired).items():
            wire = max(wired[written], key=lambda its: its.spans[0])
            too_many = f"has {len(wired[written])} wires" if written in declared else "has a wire and is not declared"
            yield Problem(
                "pin-mistyped",
                Severity.WARNING,
                f"{load.name}.{written} {too_many}; {load.name}.{missing} ({declared[missing]}) has none.",
                wire.spans[0],
                suggestion=f"{load.name}.{missing}",
                related=(Related(load.span, f"{load.name} is declared here"),),
            )


def pins_without_wire(platform: Platform) -> Iterator[Problem]:
    """Pins of a module that were said to be something and have no wire, although all its sheets are whole. Those that
    only look are often on a sheet that nobody needed; a module with no supply or no ground at all is told as such."""
    for load, declared, wired in _modules(platform):
        told = _one_for_another(declared, wired)
        bare = [pin for pin in declared if pin not in wired and pin not in told and declared[pin] != "sense"]
        there = {declared[pin] for pin in declared if pin in wired}
        bare = [pin for pin in bare if declared[pin] not in ("supply", "ground") or declared[pin] in there]
        if bare:
            yield Problem(
                "pin-no-wire",
                Severity.NOTE,
                f"No wire is typed in at {listed(f'{load.name}.{pin} ({declared[pin]})' for pin in bare)}.",
                load.span,
            )


def inputs_at_ground(platform: Platform) -> Iterator[Problem]:
    """A wake-up input or a control pin that is always at ground can never do anything. A pin that only looks may be
    grounded for good, to code a variant; but not on the splice of the module's own ground."""
    at_ground = platform.nets.keys_with(lambda end: _is_ground(platform, end))
    for load in platform.loads:
        if load.name in platform.doubted:
            continue
        wired = wired_pins(platform, load.name)
        own = {platform.nets.key(Terminal(load.name, pin)) for pin in load.pins_with("ground") if pin in wired}
        for pin, role in load.roles.items():
            if role not in ("wake", "control", "sense") or pin in load.assumed_roles or pin not in wired:
                continue
            terminal = Terminal(load.name, pin)
            net = platform.nets.key(terminal)
            if net not in at_ground or (
                role == "sense" and not (net in own and _ends_at_a_splice(platform, wired[pin]))
            ):
                continue
            yield Problem(
                "input-at-ground",
                Severity.WARNING,
                f"{terminal} ({role}) is always at ground.",
                max(wire.spans[0] for wire in wired[pin]),
                related=(Related(load.span, f"{load.name} is declared here"),),
            )


def outputs_joined(platform: Platform) -> Iterator[Problem]:
    """One output that feeds and one that grounds, joined by wires: plus meets ground when both are on."""
    by_net: dict[Terminal, dict[Terminal, set[str]]] = {}
    for output in platform.outputs:
        if not output.assumed and output.module not in platform.doubted:
            pins = by_net.setdefault(platform.nets.key(output.terminal), {})
            pins.setdefault(output.terminal, set()).add(output.action)
    for pins in by_net.values():
        feeds = [pin for pin, actions in pins.items() if actions == {"feeds"}]
        grounds = [pin for pin, actions in pins.items() if actions == {"grounds"}]
        if feeds and grounds:
            ends = (feeds[0], grounds[0])
            found = way_by_wires(platform, feeds[0], (), lambda end, goal=grounds[0]: end == goal)  # type: ignore[misc]
            if found is None or are_told(platform, found[1]):
                continue
            spans = sorted(wire.spans[0] for end in ends for wire in wired_pins(platform, end.part).get(end.pin, ()))
            yield Problem(
                "outputs-joined",
                Severity.WARNING,
                f"{feeds[0]} feeds and {grounds[0]} grounds, and wires join the two.",
                spans[-1],
                related=(Related(spans[0], "and here"),),
            )


def _modules(
    platform: Platform, kinds: Container[str] = ("module",)
) -> Iterator[tuple[Load, Pins, Mapping[str, tuple[Wire, ...]]]]:
    """Modules, or loads of these kinds, all of whose wires are on whole sheets, with what was said of their pins, and
    the wires at each."""
    outputs: dict[str, list[Output]] = {}
    slips = {(p.span.path, p.span.line) for p in platform.problems if p.severity is Severity.ERROR}
    for output in platform.outputs:
        if not output.assumed and (output.span.path, output.span.line) not in slips:
            outputs.setdefault(output.module, []).append(output)
    lines = _drawn_network_pins(platform)
    for load in platform.loads:
        wires = platform.wires_at.get(load.name, ())
        sheets = {sheet for wire in wires for sheet in wire.sheets or ("",) if wire.kind != "chart"}
        if load.kind not in kinds or load.name in platform.doubted or not is_whole(platform, sheets):
            continue
        if any(platform.sheets[sheet].unread for sheet in sheets):
            continue
        declared: dict[str, str] = {
            pin: role for pin, role in load.roles.items() if role and pin not in load.assumed_roles
        }
        declared = {pin: role for pin, role in declared.items() if role not in ("network", "output")}
        declared |= dict.fromkeys((output.pin for output in outputs.get(load.name, ())), "output")
        declared |= dict.fromkeys(lines.get(load.name, ()), "network")
        yield load, declared, wired_pins(platform, load.name)


def _drawn_network_pins(platform: Platform) -> dict[str, list[str]]:
    """The network pins of each member, of the networks whose wires are drawn: at two members or more."""
    found: dict[str, list[str]] = {}
    for network in platform.networks.values():
        drawn = [m for m in network.members if any(pin in wired_pins(platform, m.part) for pin in m.pins)]
        if len(drawn) > 1:
            for member in network.members:
                found.setdefault(member.part, []).extend(member.pins)
    return found


def _one_for_another(declared: Pins, wired: Mapping[str, Sequence[Wire]]) -> dict[str, str]:
    """The pins that have no wire, each with the one pin nearly of its name that has one too many."""
    missing = [pin for pin in declared if pin not in wired]
    extra = [pin for pin, wires in wired.items() if pin != "case" and not is_unnamed(pin)]
    extra = [pin for pin in extra if len(wired[pin]) > 1 or pin not in declared]
    found: dict[str, str] = {}
    for pin in missing:
        # Of pins with one character any two are alike: there only a wire too many is a sign.
        near = [o for o in extra if _is_near(pin, o) and (len(wired[o]) > 1 or max(len(pin), len(o)) > 1)]
        near = [other for other in near if len(wired[other]) > 1] or near
        if len(near) == 1 and near[0] not in found.values():
            found[pin] = near[0]
    return found


def _is_near(one: str, other: str) -> bool:
    """One digit or letter wrong, too many or too few, or two neighbours swapped."""
    if len(one) == len(other):
        wrong = [at for at, (a, b) in enumerate(zip(one, other, strict=True)) if a != b]
        if len(wrong) == 1:
            return one[wrong[0]].isdigit() == other[wrong[0]].isdigit()
        return (
            len(wrong) == 2
            and wrong[1] == wrong[0] + 1
            and one[wrong[0]] == other[wrong[1]]
            and (one[wrong[1]] == other[wrong[0]])
        )
    longer, shorter = (one, other) if len(one) > len(other) else (other, one)
    return any(longer[:at] + longer[at + 1 :] == shorter for at in range(len(longer)))


def _is_ground(platform: Platform, terminal: Terminal) -> bool:
    part = platform.parts[terminal.part]
    return isinstance(part, Ground) or (isinstance(part, Battery) and terminal.pin == "-")


def _ends_at_a_splice(platform: Platform, wires: Sequence[Wire]) -> bool:
    return any(isinstance(platform.parts[end.part], Joint) for wire in wires for end in (wire.a, wire.b))
