"""What a drawing does not know, or had no room for, as values; whoever asked for the drawing writes the words."""

from collections.abc import Iterable, Iterator, Sequence

from circuitmap.circuit.link import Link
from circuitmap.circuit.unknowns import of_link, options_not_said
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Load, OpenEnd, Undeclared, is_unnamed
from circuitmap.wiring.platform import Platform


def unknown_of(
    platform: Platform,
    fitting: Fitting,
    links: Sequence[Link],
    left_out: Sequence[str],
    cut_off: bool,
    unfed: Sequence[str] = (),
) -> tuple[Unknown, ...]:
    """Open ends, feeds that nobody typed in, fuse-chart rows, assumptions, options, and what did not fit: in this
    order, each once."""
    found = dict.fromkeys(_open_ends(platform, links))
    found.update(dict.fromkeys(Unknown("no supply typed", name) for name in unfed))
    of_links = [entry for link in links for entry in of_link(link)]
    found.update(dict.fromkeys(entry for entry in of_links if entry.kind == "wires not typed in"))
    ends = [end for link in links for end in (link.a, link.b)]
    for end in ends:
        if isinstance(platform.parts.get(end.part), Undeclared):
            found[Unknown("not declared", end.part)] = None
    for end in ends:
        part = platform.parts.get(end.part)
        if isinstance(part, Load) and len(part.roles) > 2 and end.pin in part.assumed_roles and not is_unnamed(end.pin):
            found[Unknown("role assumed", f"{end.part}.{end.pin}")] = None
    found.update(dict.fromkeys(entry for entry in of_links if entry.kind == "copied"))
    found.update(dict.fromkeys(options_not_said(fitting, (link.condition for link in links))))
    found.update(dict.fromkeys(Unknown("left out", name) for name in left_out))
    if cut_off:
        found[Unknown("cut off")] = None
    return tuple(found)


def _open_ends(platform: Platform, links: Iterable[Link]) -> Iterator[Unknown]:
    for link in links:
        for end in (link.a, link.b):
            part = platform.parts.get(end.part)
            if isinstance(part, OpenEnd):
                yield Unknown("open end", str(link.other(end)), part.description)
