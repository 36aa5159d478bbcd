"""What is transcribed of a platform, or of one of its sheets: the selection that both forms of `list` show."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from circuitmap.failures import WrongUse
from circuitmap.wiring.fitting import Answer, Fitting, holds, needs_of
from circuitmap.wiring.natural_order import natural
from circuitmap.wiring.parts import (
    BODY,
    LOAD_KINDS,
    Condition,
    Fuse,
    Ground,
    Joint,
    Load,
    OpenEnd,
    Part,
    Terminal,
    Undeclared,
)
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
class LeftOut:
    """What a car is without because it has, or has not, some equipment (`options`): `slots` that are empty then;
    `wires` that are not there; joints with `fewer` wires than the sheets draw; pins, cavities and joints left `bare`;
    cavities with a wire on `one_side` only."""

    options: tuple[tuple[str, bool], ...] = ()
    slots: tuple[str, ...] = ()
    wires: tuple[Wire, ...] = ()
    fewer: tuple[str, ...] = ()
    bare: tuple[Terminal, ...] = ()
    one_side: tuple[Terminal, ...] = ()


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
    left_out: LeftOut


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
    left_out = _left_out(platform, fitting, {part.name for part in parts}, wires) if chosen is None else LeftOut()
    return Inventory(platform, chosen, tuple(groups), wires, networks, open_ends, undeclared, left_out)


def _left_out(platform: Platform, fitting: Fitting, there: set[str], wires: Sequence[Wire]) -> LeftOut:
    """What loses wires, or its fuse, in a car with this equipment; of what is not there itself nothing is said."""
    wired = Counter(end._replace(half="") for wire in wires for end in (wire.a, wire.b))
    kept = set(wires)
    gone_wires = tuple(wire for wire in platform.wires if wire not in kept)
    fewer: dict[str, None] = {}
    bare: dict[Terminal, None] = {}
    one_side: dict[Terminal, None] = {}
    for end in (end for wire in gone_wires for end in (wire.a, wire.b)):
        part, whole = platform.parts[end.part], end._replace(half="")
        if end.part not in there or isinstance(part, OpenEnd | Fuse) or end.part == BODY:
            continue
        if not wired[whole]:
            bare[whole] = None
        elif end.half and wired[whole] == 1:
            one_side[whole] = None
        elif isinstance(part, Joint | Ground) and not end.pin:
            fewer[end.part] = None
    gone = [part for part in platform.parts.values() if part.name not in there]
    slots = tuple(part.name for part in gone if isinstance(part, Fuse) and platform.box_of(part.name) is not None)
    conditions = [*(part.condition for part in gone), *(wire.condition for wire in gone_wires)]
    needs = (need for condition in conditions for need in condition)
    options = {n.option: fitting[n.option] for n in needs if fitting.get(n.option) not in (None, n.fitted)}
    if not (slots or gone_wires):
        return LeftOut()
    return LeftOut(
        tuple(options.items()),
        slots,
        gone_wires,
        tuple(sorted(fewer, key=natural)),
        tuple(sorted(bare, key=_by_name)),
        tuple(sorted(one_side, key=_by_name)),
    )


def through_plugs(wires: Iterable[Wire]) -> tuple[tuple[Wire, ...], ...]:
    """Wires as a sheet's table counts them: what goes on through the cavity of a plug is one wire, in several pieces.
    The pieces of each stand one behind the other."""
    drawn = [wire for wire in wires if wire.kind == "wire"]
    after: dict[Terminal, list[Wire]] = {}
    for wire in drawn:
        for end in (wire.a, wire.b):
            if end.half:
                after.setdefault(end._replace(half=""), []).append(wire)
    joined = [its for its in after.values() if len(its) > 1]
    runs = {wire: [wire] for wire in drawn}
    for one, other, *_ in joined:
        if runs[one] is not runs[other]:
            runs[one] += runs[other]
            runs.update(dict.fromkeys(runs[other], runs[one]))
    return tuple(tuple(run) for run in {id(run): run for run in runs.values()}.values())


def _by_name(end: Terminal) -> tuple[tuple[bool, int, str], ...]:
    return natural(str(end))


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
