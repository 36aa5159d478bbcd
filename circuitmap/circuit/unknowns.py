"""What an answer rests on in its ways that nobody transcribed."""

from collections.abc import Iterable, Iterator

from circuitmap.circuit.link import Link
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.path import Path
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Condition, OpenEnd, Part, Terminal, Undeclared, is_unnamed
from circuitmap.wiring.platform import Platform


def unknowns_of(circuit: Circuit, fitting: Fitting, paths: Iterable[Path]) -> tuple[Unknown, ...]:
    """Everything that these paths rest on, each thing once."""
    platform = circuit.platform
    found: dict[Unknown, None] = {}
    links: dict[int, Link] = {}
    for path in paths:
        if not path.known:
            for end in (path.start, path.end):
                part = platform.parts.get(end.part)
                if isinstance(part, OpenEnd):
                    found[open_end(platform, part)] = None
        for link in path.links:
            links[id(link)] = link
    for link in links.values():
        found.update(dict.fromkeys(of_link(link)))
        if is_unnamed(link.b.pin) and link.b.part in circuit.loads:
            may_be_meant = circuit.loads[link.b.part].perhaps
            found.update(dict.fromkeys(Unknown("terminal assumed", str(pin)) for pin in may_be_meant))
        for end in (link.a, link.b):
            if isinstance(platform.parts.get(end.part), Undeclared):
                found[Unknown("not declared", end.part)] = None
    found.update(dict.fromkeys(options_not_said(fitting, (link.condition for link in links.values()))))
    return tuple(found)


def open_end(platform: Platform, part: Part) -> Unknown:
    """An open end under the name of the point that it leaves from, with what its sheet says."""
    wires = platform.wires_at.get(part.name, ())
    sheets = tuple(dict.fromkeys(sheet for wire in wires for sheet in wire.sheets))
    neighbours = [wire.b if wire.a.part == part.name else wire.a for wire in wires]
    return Unknown("open end", str(neighbours[0]) if neighbours else part.name, part.description, sheets)


def options_not_said(fitting: Fitting, conditions: Iterable[Condition]) -> Iterator[Unknown]:
    for condition in conditions:
        for need in condition:
            if need.option not in fitting:
                yield Unknown("option not said", need.option)


def no_feed(terminal: Terminal) -> Unknown:
    return Unknown("no supply typed", str(terminal))


def no_ground(terminal: Terminal) -> Unknown:
    return Unknown("no ground typed", terminal.as_typed)


def of_link(link: Link) -> Iterator[Unknown]:
    """What one link rests on."""
    if link.kind == "chart":
        yield Unknown("wires not typed in", link.b.part, link.a.part)
    if link.wire is not None and link.wire.copied:
        yield Unknown("copied", f"{link.a} - {link.b}", link.wire.copied, link.wire.sheets)
    if link.assumed == "terminal":
        yield Unknown("terminal assumed", str(link.b))
    elif link.assumed == "body":
        yield Unknown("body assumed", str(link.a))
