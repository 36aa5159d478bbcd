"""What is transcribed of a platform, or of one of its sheets: the selection that both forms of `list` show."""

from dataclasses import dataclass, replace

from circuitmap.failures import WrongUse
from circuitmap.wiring.fitting import Answer, Fitting, holds, needs_of
from circuitmap.wiring.parts import LOAD_KINDS, Condition, Load, OpenEnd, Part, Undeclared
from circuitmap.wiring.platform import Network, Platform, Sheet, Wire

KINDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("batteries", ("battery",)),
    ("boxes", ("box",)),
    ("fuses", ("fuse", "link", "breaker")),
    ("switches", ("key", "switch")),
    ("relays", ("relay", "latching relay")),
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


def inventory_of(platform: Platform, sheet: str = "", fitting: Fitting | None = None) -> Inventory:
    """Without what this car has not, as far as that was said. Raises WrongUse for a sheet that does not exist."""
    fitting = {} if fitting is None else fitting
    chosen = _sheet_named(platform, sheet) if sheet else None

    def there(condition: Condition) -> bool:
        return holds(condition, fitting) != Answer.NO

    wires = tuple(wire for wire in platform.wires if there(wire.condition))
    wires = tuple(wire for wire in wires if chosen is None or chosen.name in wire.sheets)
    networks = tuple(n for n in platform.networks.values() if there(n.condition))
    networks = tuple(_fitted(platform, n, fitting) for n in networks if chosen is None or chosen.name in n.sheets)
    needs = {
        p.name: needs_of(platform, p.name) if isinstance(p, Load | OpenEnd) else p.condition
        for p in platform.parts.values()
    }
    parts = tuple(p for p in platform.parts.values() if there(needs[p.name]))
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


def _fitted(platform: Platform, network: Network, fitting: Fitting) -> Network:
    """A network with the members that this car has, or may have."""
    if not fitting:
        return network
    members = (
        m
        for m in network.members
        if min(holds(m.condition, fitting), holds(platform.parts[m.part].condition, fitting)) != Answer.NO
    )
    return replace(network, members=tuple(members))


def _sheet_named(platform: Platform, name: str) -> Sheet:
    sheet = platform.sheets.get(name)
    if sheet is None:
        known = ", ".join(platform.sheets) or "none was typed in"
        raise WrongUse(f"There is no sheet {name}.", f"Sheets: {known}.")
    return sheet
