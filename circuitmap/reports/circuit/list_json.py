"""`list` as JSON."""

from typing import Any

from circuitmap.quantities import Band
from circuitmap.reports.circuit.inventory import Inventory
from circuitmap.reports.words.part_words import terminal_words
from circuitmap.wiring.parts import Battery, Condition, Fuse, Load, OpenEnd, Part, Switch
from circuitmap.wiring.platform import Network, Platform, Sheet, Wire


def list_json(inventory: Inventory) -> dict[str, Any]:
    platform = inventory.platform
    sheets = [inventory.sheet] if inventory.sheet else list(platform.sheets.values())
    return {
        "sheet": inventory.sheet.name if inventory.sheet else None,
        "years": platform.years,
        "supply_volts": platform.supply_volts,
        "parts": [_part(part) for _, parts in inventory.groups for part in parts],
        "undeclared": [part.name for part in inventory.undeclared],
        "networks": [_network(network) for network in inventory.networks],
        "sheets": [_sheet(inventory, sheet) for sheet in sheets],
        "wires": [_wire(platform, wire) for wire in inventory.wires],
        "options": [{"name": o.name, "description": o.description} for o in platform.options.values()],
        "open_ends": [_open_end(inventory, end) for end in inventory.open_ends],
        "left_out": {
            "slots": list(inventory.left_out.slots),
            "fewer_wires": list(inventory.left_out.fewer),
            "wires": [
                {"from": terminal_words(platform, wire.a), "to": terminal_words(platform, wire.b), "code": wire.code}
                for wire in inventory.left_out.wires
            ],
            "bare": [terminal_words(platform, end) for end in inventory.left_out.bare],
            "one_side": [terminal_words(platform, end) for end in inventory.left_out.one_side],
        },
    }


def _part(part: Part) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "name": part.name,
        "kind": part.kind,
        "description": part.description,
        "place": part.place,
        "part_number": part.part_number,
        "reach_minutes": _band(part.reach),
        "if": _condition(part.condition),
        "copied": part.copied,
    }
    if isinstance(part, Fuse):
        entry |= {"amps": part.rating, "style": part.style, "empty": part.empty}
    if isinstance(part, Battery):
        entry |= {"amp_hours": part.capacity, "series": part.series}
    if isinstance(part, Switch):
        entry |= {"positions": list(part.positions), "key": part.is_key}
    if isinstance(part, Load):
        entry |= {
            "asleep_amps": _band(part.asleep),
            "awake_amps": _band(part.awake),
            "running_amps": _band(part.running),
        }
    return entry


def _band(band: Band | None) -> list[float] | None:
    return None if band is None else [band.low, band.high]


def _condition(condition: Condition) -> list[dict[str, Any]]:
    return [{"option": need.option, "fitted": need.fitted} for need in condition]


def _network(network: Network) -> dict[str, Any]:
    return {
        "name": network.name,
        "kind": network.kind,
        "description": network.description,
        "members": list(network.member_names),
    }


def _sheet(inventory: Inventory, sheet: Sheet) -> dict[str, Any]:
    count = sum(sheet.name in wire.sheets for wire in inventory.platform.wires)
    return {"name": sheet.name, "title": sheet.title, "whole": sheet.whole, "wires": count}


def _wire(platform: Platform, wire: Wire) -> dict[str, Any]:
    return {
        "from": terminal_words(platform, wire.a),
        "to": terminal_words(platform, wire.b),
        "kind": wire.kind,
        "colour": wire.colour_written,
        "size": wire.size_written,
        "name": wire.name,
        "code": wire.code,
        "sheets": list(wire.sheets),
        "if": _condition(wire.condition),
    }


def _open_end(inventory: Inventory, end: OpenEnd) -> dict[str, Any]:
    wires = inventory.platform.wires_at.get(end.name, ())
    return {
        "at": sorted(terminal_words(inventory.platform, w.b if w.a.part == end.name else w.a) for w in wires),
        "supply": end.from_supply,
        "says": end.description,
        "sheets": sorted({sheet for wire in wires for sheet in wire.sheets}),
    }
