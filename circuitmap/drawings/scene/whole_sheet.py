"""One sheet as it was typed, for proof-reading against the paper: every wire on it, nothing else, nothing folded."""

from dataclasses import replace

from circuitmap.circuit.links import CASE_PIN, Circuit
from circuitmap.drawings.scene.gaps import unknown_of
from circuitmap.drawings.scene.scene import DrawnPart, Kind, Nature, Scene
from circuitmap.drawings.scene.shown import shown_network
from circuitmap.drawings.scene.sketch import Sketch
from circuitmap.drawings.scene.stubs import add_open_coils
from circuitmap.drawings.scene.wanted import MOST_PARTS_OF_ALL, MOST_WIRES, Wanted
from circuitmap.failures import WrongUse
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Battery, Fuse, Joint, Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform


def sheet_scene(circuit: Circuit, wanted: Wanted, fitting: Fitting) -> Scene:
    """The scene of one sheet. Wires run as they were written: left to right becomes top to bottom."""
    platform = circuit.platform
    sheet = platform.sheets.get(wanted.sheet)
    if sheet is None:
        raise WrongUse(f"There is no sheet {wanted.sheet}.", f"Sheets of this platform: {', '.join(platform.sheets)}.")
    batteries = frozenset(part.name for part in platform.parts.values() if isinstance(part, Battery))
    sketch = Sketch(platform, fitting, wanted, batteries=batteries)
    cut_off = False
    here = [wire for wire in platform.wires if sheet.name in wire.sheets]
    used = {end.part for wire in here for end in (wire.a, wire.b)}
    used.update(m.part for net in platform.networks.values() if sheet.name in net.sheets for m in net.members)
    unused = []
    for part in platform.parts.values():
        if sheet.name in part.sheets and part.kind not in ("box", "ground", "connector", "splice"):
            if (part.owner if isinstance(part, Switch) else part.name) not in used:
                unused.append(part.name)
            elif len(sketch.drawn_names) >= MOST_PARTS_OF_ALL:
                cut_off = True
                break
            else:
                sketch.add_part(part.name)
    drawn = 0
    for wire in here:
        new = sum(not sketch.is_drawn(end) for end in (wire.a, wire.b))
        if drawn >= MOST_WIRES or (new and len(sketch.drawn_names) + new > MOST_PARTS_OF_ALL):
            cut_off = True
            continue
        sketch.add_wire(wire, wire.a, wire.b, wanted.mark_of(""), False)
        drawn += 1
    _add_housings(platform, sketch)
    _add_other_sheets(platform, sheet.name, sketch)
    _add_contacts_wired_elsewhere(platform, sheet.name, sketch)
    add_open_coils(sketch)
    for network in platform.networks.values():
        if sheet.name in network.sheets:
            for member in network.members:
                if member.part in platform.parts and len(sketch.drawn_names) < MOST_PARTS_OF_ALL:
                    sketch.add_part(member.part)
            sketch.add_network(shown_network(network, platform, sketch.drawn_names))
    links = [link for link in circuit.links if link.wire is not None and sheet.name in link.wire.sheets]
    title = wanted.title or f"Sheet {sheet.name} {sheet.title}".strip()
    unknown = unknown_of(platform, fitting, links, (), cut_off)
    unknown = (*unknown, *(Unknown("no wires here", name) for name in unused))
    if not sheet.whole:
        unknown = (Unknown("sheet not whole", sheet.name), *unknown)
    return replace(sketch.scene(title, unknown), sheet=sheet.name)


def _add_housings(platform: Platform, sketch: Sketch) -> None:
    """Switches on this sheet that close to their own housing."""
    wired = sketch.drawn_terminals
    for name in list(sketch.drawn_names):
        part = platform.parts.get(name)
        for contact in part.contacts if isinstance(part, Switch) else ():
            if contact.pin_b == CASE_PIN and (name, contact.pin_a) in wired:
                sketch.add_housing(Terminal(name, CASE_PIN))


def _add_contacts_wired_elsewhere(platform: Platform, here: str, sketch: Sketch) -> None:
    """The contacts of a switch that have one end wired on this sheet: their other end, with where it is wired."""
    wired = sketch.drawn_terminals
    for name in list(sketch.drawn_names):
        part = platform.parts.get(name)
        if not isinstance(part, Switch):
            continue
        ends = {end for c in part.contacts if ((name, c.pin_a) in wired) != ((name, c.pin_b) in wired) for end in c[:2]}
        for pin in sorted(end for end in ends if (name, end) not in wired and end != CASE_PIN):
            at = Terminal(name, pin)
            wires = [wire for wire in platform.wires_at.get(name, ()) if at in (wire.a, wire.b)]
            sheets = dict.fromkeys(sheet for wire in wires for sheet in wire.sheets)
            above = any(wire.b == at for wire in wires)
            if sheets:
                words = f"sheet {', '.join(sheets)}" if len(sheets) < 4 else f"{len(sheets)} other sheets"
                kind = Kind.FROM_SHEET if above else Kind.TO_SHEET
                sketch.add_extra(DrawnPart("", kind, words), at, above, Nature.LEAD)
            else:
                sketch.add_pin(at)


def _add_other_sheets(platform: Platform, here: str, sketch: Sketch) -> None:
    """A mark where a fuse, relay or joint on this sheet is also wired on other sheets."""
    for key in list(sketch.drawn_names):
        name = key if key in platform.parts else key.rpartition(".")[0]
        part = platform.parts.get(name)
        if not isinstance(part, (Fuse, Relay, Joint)):
            continue
        elsewhere: dict[tuple[Terminal, bool], tuple[dict[str, None], dict[str, None]]] = {}
        for wire in platform.wires_at.get(name, ()):
            if here in wire.sheets:
                continue
            for end, other, above in ((wire.a, wire.b, False), (wire.b, wire.a, True)):
                if end.part == name and key in (name, f"{name}.{end.pin}"):
                    sheets, parts = elsewhere.setdefault((end, above), ({}, {}))
                    sheets.update(dict.fromkeys(wire.sheets))
                    parts[other.part] = None
        for (terminal, above), (sheets, parts) in elsewhere.items():
            kind = Kind.FROM_SHEET if above else Kind.TO_SHEET
            words = f"sheet {', '.join(sheets)}" if len(sheets) < 4 else f"{len(sheets)} other sheets"
            if not sheets:
                words = ", ".join(parts) if len(parts) < 3 else f"{len(parts)} more"
            sketch.add_extra(DrawnPart("", kind, words), terminal, above, Nature.LEAD)
