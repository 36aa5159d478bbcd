"""What is transcribed of a platform, or of one of its sheets: the selection that both forms of `list` show."""

from dataclasses import dataclass

from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import LOAD_KINDS, OpenEnd, Part, Undeclared
from circuitmap.wiring.platform import Network, Platform, Sheet, Wire

KINDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("batteries", ("battery",)),
    ("boxes", ("box",)),
    ("fuses", ("fuse", "link", "breaker")),
    ("switches", ("key", "switch")),
    ("relays", ("relay",)),
    ("modules", ("module",)),
    ("loads", tuple(kind for kind in LOAD_KINDS if kind != "module")),
    ("diodes and resistors", ("diode", "resistor")),
    ("bars", ("bar",)),
    ("splices", ("splice",)),
    ("connectors", ("connector",)),
    ("ring terminals", ("terminal",)),
    ("grounds", ("ground",)),
)
"""Headings in the order in which they are listed, and the kinds of part below each."""


@dataclass(frozen=True, slots=True)
class Inventory:
    """`groups`: heading -> parts in the platform's order; empty headings are left out.

    `undeclared` are names that were used and never declared. `sheet` is None for the whole platform.
    """

    platform: Platform
    sheet: Sheet | None
    groups: tuple[tuple[str, tuple[Part, ...]], ...]
    wires: tuple[Wire, ...]
    networks: tuple[Network, ...]
    open_ends: tuple[OpenEnd, ...]
    undeclared: tuple[Undeclared, ...]


def inventory_of(platform: Platform, sheet: str = "") -> Inventory:
    """Raises WrongUse for a sheet that does not exist."""
    chosen = _sheet_named(platform, sheet) if sheet else None
    wires = tuple(wire for wire in platform.wires if chosen is None or chosen.name in wire.sheets)
    networks = tuple(n for n in platform.networks.values() if chosen is None or chosen.name in n.sheets)
    parts = tuple(platform.parts.values())
    if chosen is not None:
        touched = {end.part for wire in wires for end in (wire.a, wire.b)}
        parts = tuple(p for p in parts if p.name in touched or chosen.name in p.sheets)
    groups = []
    known: set[str] = set()
    for heading, kinds in KINDS:
        found = tuple(p for p in parts if p.kind in kinds and not isinstance(p, Undeclared | OpenEnd))
        known.update(p.name for p in found)
        if found:
            groups.append((heading, found))
    open_ends = tuple(p for p in parts if isinstance(p, OpenEnd))
    undeclared = tuple(p for p in parts if isinstance(p, Undeclared))
    rest = tuple(p for p in parts if p.name not in known and not isinstance(p, OpenEnd | Undeclared))
    if rest:
        groups.append(("other", rest))
    return Inventory(platform, chosen, tuple(groups), wires, networks, open_ends, undeclared)


def _sheet_named(platform: Platform, name: str) -> Sheet:
    sheet = platform.sheets.get(name)
    if sheet is None:
        known = ", ".join(platform.sheets) or "none was typed in"
        raise WrongUse(f"There is no sheet {name}.", f"Sheets: {known}.")
    return sheet
