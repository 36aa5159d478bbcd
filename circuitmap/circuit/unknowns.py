"""What an answer rests on that nobody transcribed, as data: it is part of the answer."""

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from circuitmap.circuit.link import Link
from circuitmap.circuit.path import Path
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Condition, OpenEnd, Part, Terminal, Undeclared
from circuitmap.wiring.platform import Platform

UnknownKind = Literal[
    "open end",  # a sheet goes on here; `detail` is what it says
    "no supply typed",  # a fuse, contact or supply pin whose feed has no wire
    "no ground typed",  # a ground pin or a load without a way to ground
    "no load typed",  # a fuse, or what is fed from it at `name`, behind which nothing was typed in
    "may hang here",  # a supply pin whose feed has no wire: it may be on any fuse
    "no network typed",  # a module that is on no network
    "wires not typed in",  # known from a fuse chart only: `name` hangs on the fuse `detail`
    "role assumed",  # what a pin does follows only from the reading direction of a wire
    "ground assumed",  # the case is taken for the ground, or the body for the way to the battery's minus
    "terminal assumed",  # a fuse chart names the part but no terminal
    "copied",  # taken over from the sister platform `detail` and not checked
    "option not said",  # it depends on the equipment option `name`
    "not declared",  # used in a wire and never declared
    "cut off",  # there are more ways than were looked for
]


class Unknown(NamedTuple):
    """One thing that is not known. `name` is the terminal, part or option; `sheets` where to look for it."""

    kind: UnknownKind
    name: str
    detail: str = ""
    sheets: tuple[str, ...] = ()


def unknowns_of(platform: Platform, fitting: Fitting, paths: Iterable[Path]) -> tuple[Unknown, ...]:
    """All that these paths rest on, each thing once."""
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
        found.update(dict.fromkeys(_of_link(link)))
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
    return Unknown("no ground typed", terminal.part if terminal.pin.startswith("?") else str(terminal))


def _of_link(link: Link) -> Iterator[Unknown]:
    if link.kind == "chart":
        yield Unknown("wires not typed in", link.b.part, link.a.part)
    if link.wire is not None and link.wire.copied:
        yield Unknown("copied", f"{link.a} - {link.b}", link.wire.copied, link.wire.sheets)
    if link.assumed == "terminal":
        yield Unknown("terminal assumed", str(link.b))
    elif link.assumed == "body":
        yield Unknown("ground assumed", str(link.a))
