"""`list` as text: what is transcribed, by kind, and what is not."""

from collections import Counter
from collections.abc import Sequence

from circuitmap.reports.circuit.inventory import Inventory, through_plugs
from circuitmap.reports.words.paragraphs import WIDTH, as_text, counted, joined, listed, section, table, wrapped
from circuitmap.reports.words.part_words import (
    amps_band,
    condition_words,
    minutes,
    rating,
    terminal_words,
    wire_words,
)
from circuitmap.reports.words.vehicle_words import vehicle_head
from circuitmap.wiring.fitting import needs_of
from circuitmap.wiring.natural_order import natural
from circuitmap.wiring.parts import Battery, Fuse, Load, OpenEnd, Part, Relay, Resistor, Switch
from circuitmap.wiring.platform import Member, Network, Platform, Sheet, Wire

_FEW = 0.1
"""Where no more wires than this have no size, the others' sizes were printed and these are worth a word (judgement)."""


_MOST_WIRES = 24
"""How many wires that are not there are named (judgement: what six lines hold)."""


def list_text(inventory: Inventory, width: int = WIDTH) -> str:
    platform = inventory.platform
    head = wrapped(_head(inventory), rest=" ", width=width)
    groups = [
        listed(f"{heading.upper()}  {len(parts)}", [_row(platform, p) for p in parts], width)
        for heading, parts in inventory.groups
    ]
    networks = listed(f"NETWORKS  {len(inventory.networks)}", [_network_row(n) for n in inventory.networks], width)
    sheets = [] if inventory.sheet else _sheets(inventory, width)
    wires = _wires(inventory, width) if inventory.sheet else []
    left_out = _left_out(inventory, width)
    return as_text(
        head, *groups, networks, wires, sheets, left_out, _no_size(inventory, width), _not_typed_in(inventory, width)
    )


def _head(inventory: Inventory) -> str:
    platform = inventory.platform
    if inventory.sheet:
        sheet = inventory.sheet
        title = f", {sheet.title}" if sheet.title else ""
        whole = "typed in whole" if sheet.whole else "typed in only in part, or not marked whole"
        return f"Sheet {sheet.name}{title}: {_all_counted(inventory.wires)}, {whole}."
    drawn = [w for w in platform.wires if w.kind == "wire"]
    chart = [w for w in platform.wires if w.kind == "chart"]
    complete = sum(sheet.whole for sheet in platform.sheets.values())
    whole_sheets = f" ({complete} whole)" if platform.sheets else ""
    charted = f", {counted(len(chart), 'connection')} known from the fuse chart only" if chart else ""
    counts = f"{counted(len(platform.sheets), 'sheet')}{whole_sheets}, {_wires_counted(drawn)}{charted}."
    here = [w for w in inventory.wires if w.kind == "wire"]
    in_this_car = f" Of these {_wires_counted(here)} are in this car." if len(here) < len(drawn) else ""
    return f"{vehicle_head(platform)}. {counts[0].upper()}{counts[1:]}{in_this_car}"


def _wires_counted(wires: Sequence[Wire], short: bool = False) -> str:
    """`60 wires in 72 pieces`: what goes on through a plug is one, as in a sheet's table; `short`: the first word is
    said already."""
    runs = len(through_plugs(wires))
    pieces = f" in {counted(len(wires), 'piece')} between plugs" if runs < len(wires) else ""
    return f"{runs if short else counted(runs, 'wire')}{pieces}"


def _all_counted(wires: Sequence[Wire], short: bool = False) -> str:
    """What is on one sheet: its wires as the paper counts them, and what is listed besides."""
    drawn = _wires_counted([wire for wire in wires if wire.kind == "wire"], short)
    copper = sum(wire.kind == "copper" for wire in wires)
    chart = sum(wire.kind == "chart" for wire in wires)
    more = [f"{counted(copper, 'feed')} in copper bars"] if copper else []
    more += [f"{counted(chart, 'line')} of a fuse chart"] if chart else []
    return ", ".join((drawn, *more))


def _row(platform: Platform, part: Part) -> Sequence[str]:
    facts = [part.description, _facts(part), part.place]
    if part.reach:
        facts.append(f"reach {minutes(part.reach)}")
    # A ground or connector is there even without the equipment that its wires belong to; a load comes with its
    # equipment.
    needs = needs_of(platform, part.name) if isinstance(part, Load) else part.condition
    facts.append(condition_words(needs))
    if part.copied:
        facts.append(f"copied from {part.copied}, not yet checked")
    return (part.name, "; ".join(fact for fact in facts if fact))


def _facts(part: Part) -> str:
    if isinstance(part, Battery):
        facts = [f"{part.capacity:g} Ah" if part.capacity else "", "two in series" if part.series else ""]
        return ", ".join(fact for fact in facts if fact)
    if isinstance(part, Fuse):
        return rating(part)
    if isinstance(part, Switch):
        by = f", read by {part.by}" if part.by else ""
        inside = f"inside {part.inside}, " if part.inside else "latching, " if part.coils else ""
        return f"{'key, ' if part.is_key else inside}{' / '.join(part.positions)}{by}".removesuffix(", ")
    if isinstance(part, Relay):
        return ", ".join([*_relay_contacts(part), *_relay_extras(part)])
    if isinstance(part, Resistor):
        return f"{part.ohms:g} ohm" if part.ohms is not None else ""
    if isinstance(part, Load):
        currents = [
            f"{word} {amps_band(band)}"
            for word, band in (("asleep", part.asleep), ("awake", part.awake), ("running", part.running))
            if band is not None
        ]
        kind = [] if part.kind == "module" else [part.kind]
        return ", ".join(kind + currents)
    return ""


def _relay_contacts(relay: Relay) -> list[str]:
    if relay.flashes:
        return [f"{c.pin_a}-{c.pin_b} closing and opening while it is on" for c in relay.contacts]
    return [f"{c.pin_a}-{c.pin_b} closed {'when pulled in' if c.energised else 'at rest'}" for c in relay.contacts]


def _relay_extras(relay: Relay) -> list[str]:
    found = [f"holds {minutes(relay.holds)}"] if relay.holds else []
    if relay.across:
        found.append(f"{relay.across} across the coil")
    return found


def _network_row(network: Network) -> Sequence[str]:
    kind = {"can": "CAN", "lin": "LIN", "wake": "wake line"}.get(network.kind, network.kind)
    about = f"{kind}, {network.description}" if network.description else kind
    return (network.name, f"{about}: {', '.join(_member_words(m) for m in network.members) or 'no member typed in'}")


def _member_words(member: Member) -> str:
    return f"{member.part} ({member.waking})" if member.waking else member.part


def _sheets(inventory: Inventory, width: int) -> list[str]:
    sheets = inventory.platform.sheets
    return listed(f"SHEETS  {len(sheets)}", [_sheet_row(inventory, s) for s in sheets.values()], width)


def _sheet_row(inventory: Inventory, sheet: Sheet) -> Sequence[str]:
    wires = through_plugs(wire for wire in inventory.wires if sheet.name in wire.sheets)
    state = "whole" if sheet.whole else "in part"
    about = [word for word in (sheet.title, condition_words(sheet.condition)) if word]
    return (sheet.name, state, counted(len(wires), "wire"), "; ".join(about) or "-")


def _wires(inventory: Inventory, width: int) -> list[str]:
    lines = [f"WIRES  {_all_counted(inventory.wires, short=True)}"]
    for wire in sorted(inventory.wires, key=lambda wire: wire.spans[:1]):
        about = " ".join(word for word in (wire_words(wire), condition_words(wire.condition)) if word)
        lines += wrapped(f"{_ends(inventory.platform, wire)} : {about}", " ", "    ", width)
    return lines if inventory.wires else []


def _no_size(inventory: Inventory, width: int) -> list[str]:
    """The wires without a size, of a text in which nearly all have one: whoever compares with the paper wants these. A
    wire of which nothing at all is printed is none of a sheet's table."""
    drawn = [wire for wire in inventory.platform.wires if wire.kind == "wire" and (wire.code or wire.colour)]
    bare = [wire for wire in drawn if wire.size is None]
    if len(bare) > _FEW * len(drawn):
        return []
    here = set(inventory.wires)
    names = {wire.code or _ends(inventory.platform, wire): None for wire in bare if wire in here}
    told = ", ".join(sorted(names, key=natural))
    return section("NO SIZE", [f"{counted(len(names), 'wire')}: {told}."] if names else [], width)


def _ends(platform: Platform, wire: Wire) -> str:
    return " -> ".join(terminal_words(platform, end) for end in (wire.a, wire.b))


def _left_out(inventory: Inventory, width: int) -> list[str]:
    """What is empty or bare in a car with this equipment, although the sheets draw something there."""
    its, platform = inventory.left_out, inventory.platform
    bare, one_side = (", ".join(terminal_words(platform, end) for end in ends) for ends in (its.bare, its.one_side))
    runs = through_plugs(its.wires)
    names = sorted((_run_name(platform, run) for run in runs), key=natural)
    told = f": {', '.join(names)}" if 0 < len(names) <= _MOST_WIRES else ""
    rows = [
        ("empty slots", ", ".join(its.slots)),
        ("no such wires", f"{counted(len(runs), 'wire')}{told}" if runs else ""),
        ("fewer wires", ", ".join(its.fewer)),
        ("without a wire", bare),
        ("on one side only", one_side),
    ]
    with_what = [f"{name} {'fitted' if fitted else 'not fitted'}" for name, fitted in its.options]
    return listed(f"LEFT OUT  with {joined(with_what)}", [row for row in rows if row[1]], width)


def _run_name(platform: Platform, run: Sequence[Wire]) -> str:
    """The code printed on a wire; its two far ends where it has none, or others have the same."""
    codes = {wire.code for wire in run if wire.code}
    drawn = through_plugs(wire for wire in platform.wires if wire.code in codes) if codes else ()
    if len(drawn) == 1:
        return joined(sorted(codes))
    ends = Counter(end._replace(half="") for wire in run for end in (wire.a, wire.b))
    far = [terminal_words(platform, end) for end, times in ends.items() if times == 1]
    return " ".join([*sorted(codes), " -> ".join(far or [_ends(platform, run[0])])])


def _not_typed_in(inventory: Inventory, width: int) -> list[str]:
    lines: list[str] = []
    if inventory.open_ends:
        lines = ["NOT ON THE DRAWINGS YET", *table([_open_row(inventory, end) for end in inventory.open_ends])]
    if inventory.undeclared:
        names = ", ".join(part.name for part in inventory.undeclared)
        lines += section("NOT KNOWN", [f"Used but never declared: {names}."], width)
    return lines


def _open_row(inventory: Inventory, end: OpenEnd) -> Sequence[str]:
    wires = inventory.platform.wires_at.get(end.name, ())
    neighbours = [terminal_words(inventory.platform, w.b if w.a.part == end.name else w.a) for w in wires]
    sheets = sorted({sheet for wire in wires for sheet in wire.sheets})
    direction = "fed from" if end.from_supply else "goes on to"
    condition = condition_words(needs_of(inventory.platform, end.name))
    place = " ".join(word for word in (f"sheet {', '.join(sheets)}" if sheets else "no sheet", condition) if word)
    says = end.description.removeprefix(direction).strip() or "something not typed in"
    return (", ".join(neighbours), direction, says, place)
