"""What is not drawn at the parts that are drawn: `+7 more`, open ends, feeds that nobody typed in."""

from collections.abc import Iterable, Iterator, Mapping

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.link import Link
from circuitmap.drawings.scene.gathering import Taken
from circuitmap.drawings.scene.scene import DrawnPart, Kind, Nature
from circuitmap.drawings.scene.sketch import Sketch, box_key
from circuitmap.wiring.parts import (
    ANY_PIN,
    Diode,
    Fuse,
    Ground,
    Joint,
    OpenEnd,
    Relay,
    Resistor,
    Switch,
    Terminal,
    is_unnamed,
)

_WIRES = ("wire", "copper", "chart")
_FOLDED = (Joint, Fuse, Relay, Switch, Diode, Resistor)
"""Parts at which something is folded; a module's other pins are not shown."""


def wires_between(feeding: Feeding, sketch: Sketch, taken: Mapping[int, Taken]) -> Iterator[Link]:
    """Wires that join two drawn parts but were on none of the chosen ways; and short ones to open ends, and from
    switchgear to a ground point: without it a leg would look as if nothing were wired to it."""
    seen: set[int] = set()
    for terminal, link in _hidden(feeding, sketch, taken):
        far = any(isinstance(_part(sketch, end), OpenEnd) for end in (link.a, link.b))
        gear = isinstance(_part(sketch, terminal), (Relay, Switch))
        far = far or (gear and isinstance(_part(sketch, link.other(terminal)), Ground))
        if id(link) not in seen and (far or (sketch.is_drawn(link.a) and sketch.is_drawn(link.b))):
            seen.add(id(link))
            yield link


def add_stubs(feeding: Feeding, sketch: Sketch, taken: Mapping[int, Taken]) -> None:
    """A `+n more` wherever wires of a drawn part are left out."""
    groups: dict[tuple[Terminal, bool], dict[str, Nature]] = {}
    for terminal, link in _hidden(feeding, sketch, taken):
        other = link.other(terminal)
        part = _part(sketch, other)
        if isinstance(part, Ground) or (isinstance(part, Fuse) and part.empty):
            continue
        above = link.b == terminal and link.a != terminal
        groups.setdefault((terminal, above), {})[box_key(sketch.platform, other)] = Nature(link.kind)
    for (terminal, above), names in groups.items():
        natures = set(names.values())
        nature = natures.pop() if len(natures) == 1 else Nature.LEAD
        if nature is Nature.WIRE:
            nature = Nature.LEAD
        text = ", ".join(names) if len(names) < 3 else f"on {terminal}"
        stub = DrawnPart("", Kind.MORE, f"+{len(names)} more", description=text)
        sketch.add_extra(stub, terminal, above, nature)


def add_open_feeds(feeding: Feeding, sketch: Sketch) -> None:
    """A question mark above the feed of a fuse or of a part asked for, when nobody typed in where it comes from."""
    wired = sketch.drawn_terminals
    for name in list(sketch.drawn_names):
        part = sketch.platform.parts.get(name)
        if part is None or not (isinstance(part, Fuse) or name in sketch.wanted.in_focus):
            continue
        for terminal in feeding.circuit.terminals_of.get(name, ()):
            lonely = (name, terminal.pin) not in wired and not is_unnamed(terminal.pin)
            if lonely and terminal in feeding.circuit.unknown_supplies and isinstance(part, Fuse):
                stub = DrawnPart("", Kind.OPEN_END, "", description="feed not typed in")
                sketch.add_extra(stub, terminal, True, Nature.CHART)


def add_open_coils(sketch: Sketch) -> None:
    """A question mark at each end of a coil in the drawing to which nobody typed in any wire."""
    platform = sketch.platform
    for name in list(sketch.drawn_names):
        part = platform.parts.get(name)
        coils = (part.coil,) if isinstance(part, Relay) else part.coils if isinstance(part, Switch) else ()
        wired = {end.pin for wire in platform.wires_at.get(name, ()) for end in (wire.a, wire.b) if end.part == name}
        if ANY_PIN in wired:
            continue  # a fuse chart that names the relay may mean its coil
        for pin, above in {end: end in [coil[0] for coil in coils] for coil in coils for end in coil}.items():
            if pin not in wired:
                stub = DrawnPart("", Kind.OPEN_END, "", description="not typed in")
                sketch.add_extra(stub, Terminal(name, pin), above, Nature.CHART)


def unfed(feeding: Feeding, sketch: Sketch, rails: Iterable[Terminal]) -> tuple[str, ...]:
    """Fuses, contacts and loads in the drawing, and switches that a rail stands for, where nobody typed in what feeds
    them."""
    circuit = feeding.circuit
    found: dict[str, None] = {}
    for name in dict.fromkeys((*sketch.drawn_names, *(end.part for end in rails))):
        part = sketch.platform.parts.get(name)
        load = circuit.loads.get(name)
        if load is not None:
            found_ways = [feeding.supply.to(end) for end in load.supplies]
            ways = [path for its in found_ways for path in its.direct]
            if any(its.cut_off and not its.paths for its in found_ways):
                continue
            if not any(path.known or path.fuses for path in ways):  # behind a fuse, the fuse's own feed is missing
                found[name] = None
        elif isinstance(part, Fuse | Switch | Relay):
            for end in circuit.terminals_of.get(name, ()):
                if end in circuit.unknown_supplies:
                    found[name if isinstance(part, Fuse) else str(end)] = None
    return tuple(found)


def _hidden(feeding: Feeding, sketch: Sketch, taken: Mapping[int, Taken]) -> Iterator[tuple[Terminal, Link]]:
    """Wires at the drawn parts that are, or may be, fitted but are not drawn."""
    circuit = feeding.circuit
    usable = {id(circuit.links[i]) for i in (*feeding.supply.usable, *feeding.ground.usable)}
    for key in list(sketch.drawn_names):
        name = key if key in sketch.platform.parts else key.rpartition(".")[0]
        if not isinstance(sketch.platform.parts.get(name), _FOLDED):
            continue
        for terminal in circuit.terminals_of.get(name, ()):
            if box_key(sketch.platform, terminal) != key:
                continue
            for link in circuit.links_at(terminal):
                if link.kind in _WIRES and id(link) not in taken and id(link) in usable:
                    yield terminal, link


def _part(sketch: Sketch, terminal: Terminal) -> object:
    return sketch.platform.parts.get(terminal.part)
