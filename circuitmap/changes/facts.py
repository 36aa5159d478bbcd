"""A platform as a list of facts: one for each element, with what is said of it in the trade's words."""

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from circuitmap.quantities import Band
from circuitmap.source import Span
from circuitmap.wiring.parts import (
    Battery,
    Box,
    Condition,
    Diode,
    Fuse,
    Ground,
    Load,
    OpenEnd,
    Part,
    Relay,
    Resistor,
    Switch,
    Terminal,
    Undeclared,
    WakesEvery,
)
from circuitmap.wiring.platform import Gateway, Network, Output, Platform, Star, Stated, Wire


class StatedFact(NamedTuple):
    """`says` maps what a property is called to its value as text; a value that is not known is left out."""

    kind: str
    name: str
    says: Mapping[str, str]
    span: Span | None


def facts_of(platform: Platform) -> Iterator[StatedFact]:
    """Everything that was transcribed, element by element. The same element has the same (kind, name) in any state."""
    yield StatedFact("platform", platform.name or "(no name)", _known(_platform(platform)), platform.declared)
    for option in platform.options.values():
        yield StatedFact("option", option.name, _known({"description": option.description}), option.span)
    for sheet in platform.sheets.values():
        says = {
            "title": sheet.title,
            "typed in whole": "yes" if sheet.whole else "",
            "only": condition_words(sheet.condition),
            "copied from": sheet.copied,
            "hands-off": sheet.hands_off,
        }
        yield StatedFact("sheet", sheet.name, _known(says), sheet.span)
    for part in platform.parts.values():
        if isinstance(part, OpenEnd | Undeclared) or part.declared is None:
            continue
        yield StatedFact(part.kind, part.name, _known({**_any_part(part), **_this_part(part)}), part.declared)
    for wire in platform.wires:
        yield StatedFact("wire", _wire_name(wire), _known(_wire(wire)), wire.spans[0] if wire.spans else None)
    for output in platform.outputs:
        yield StatedFact("output", output.contact, _known(_output(output)), output.span)
    for network in platform.networks.values():
        yield StatedFact("network", network.name, _known(_network(network)), network.declared)
    for gateway in platform.gateways:
        yield StatedFact("gateway", gateway.module, _known(_gateway(gateway)), gateway.span)
    for star in platform.stars.values():
        yield StatedFact("star", star.name, _known(_star(star)), star.span)
    for stated in platform.stated:
        yield StatedFact("stated feed", str(Terminal(stated.part, stated.pin)), _known(_stated(stated)), stated.span)


def condition_words(condition: Condition) -> str:
    return " and ".join(f"{'if' if need.fitted else 'if not'} {need.option}" for need in condition)


def band_words(band: Band | None, unit: str) -> str:
    if band is None:
        return ""
    if band.low == band.high:
        return f"{band.low:g} {unit}"
    return f"{band.low:g} to {band.high:g} {unit}"


def _known(says: Mapping[str, str]) -> Mapping[str, str]:
    return {label: value for label, value in says.items() if value}


def _number(value: float | None, unit: str) -> str:
    return "" if value is None else f"{value:g} {unit}"


def _platform(platform: Platform) -> dict[str, str]:
    return {
        "years": platform.years,
        "supply": _number(platform.supply_volts, "V"),
        "return": "body" if platform.body_return else "wired",
        "time to sleep": band_words(platform.sleep, "min"),
        "limit": _number(platform.limit, "A"),
    }


def _any_part(part: Part) -> dict[str, str]:
    return {
        "description": part.description,
        "place": part.place,
        "part number": part.part_number,
        "reach": band_words(part.reach, "min"),
        "only": condition_words(part.condition),
        "copied from": part.copied,
        "hands-off": part.hands_off,
        "take care": ", ".join(part.care),
    }


def _this_part(part: Part) -> dict[str, str]:
    if isinstance(part, Fuse):
        slot = "empty" if part.empty else "empty without it" if part.else_empty else ""
        return {"rating": _number(part.rating, "A"), "style": part.style, "slot": slot}
    if isinstance(part, Box):
        return {"rows": " / ".join(map(" ".join, part.rows)), "upper edge to": part.up}
    if isinstance(part, Load):
        return _load(part)
    if isinstance(part, Battery):
        series = "two in series" if part.series else ""
        return {"capacity": _number(part.capacity, "Ah"), "volts": _number(part.volts, "V"), "made of": series}
    if isinstance(part, Relay):
        contacts = ", ".join(f"{c.pin_a}-{c.pin_b} {'make' if c.energised else 'break'}" for c in part.contacts)
        return {"coil": "-".join(part.coil), "contacts": contacts, "running": band_words(part.takes, "A")}
    if isinstance(part, Switch):
        contacts = ", ".join(f"{c.pin_a}-{c.pin_b} in {'/'.join(c.closed_in)}" for c in part.contacts)
        return {"positions": ", ".join(part.positions), "contacts": contacts, "read by": part.by}
    if isinstance(part, Resistor):
        return {"resistance": _number(part.ohms, "ohm")}
    if isinstance(part, Ground):
        return {"joined to": "its wire only" if part.wired else ""}
    assert isinstance(part, Part | Diode)
    return {}


def _load(part: Load) -> dict[str, str]:
    roles = {
        f"{role} pins": ", ".join(pin for pin in part.pins_with(role) if pin not in part.assumed_roles)
        for role in ("supply", "ground", "wake", "sense", "control")
    }  # type: dict[str, str]
    roles |= {"wakes": ", ".join(f"{pin} by {what}" for pin, what in part.wakes_by.items())}
    return roles | {
        "asleep": band_words(part.asleep, "A"),
        "awake": band_words(part.awake, "A"),
        "running": band_words(part.running, "A"),
        "law": part.law,
        "run-on": band_words(part.run_on, "min"),
        "wakes every": _waking(part.wakes),
        "needs": ", ".join(part.needs),
        "wakes for": ", ".join(f"{pin} {_lasting(its)}" for pin, its in part.lasts.items()),
    }


def _waking(its: WakesEvery | None) -> str:
    return f"{band_words(its.every, 'min')} for {band_words(its.lasts, 'min')}" if its is not None else ""


def _lasting(band: Band | None) -> str:
    return "ever" if band is not None and band.high == math.inf else band_words(band, "min")


def _wire_name(wire: Wire) -> str:
    ends = " - ".join(sorted(end.as_typed for end in (wire.a, wire.b)))
    return f"{ends} ({wire.name})" if wire.name else ends


def _wire(wire: Wire) -> dict[str, str]:
    return {
        "colour": wire.colour_written,
        "size": wire.size_written,
        "circuit code": wire.code,
        "length": band_words(wire.length, "m"),
        "how it is known": "fuse chart only" if wire.kind == "chart" else "",
        "only": condition_words(wire.condition),
        "copied from": wire.copied,
        "hands-off": wire.hands_off,
        "sheets": ", ".join(wire.sheets),
    }


def _output(output: Output) -> dict[str, str]:
    return {
        "action": output.action,
        "from": output.source,
        "when": f"in {', '.join(output.positions)}" if output.when == "in" else output.when,
        "for": _lasting(output.lasts),
        "only": condition_words(output.condition),
        "hands-off": output.hands_off,
    }


def _network(network: Network) -> dict[str, str]:
    members = sorted(f"{m.part} ({', '.join(m.pins)})" if m.pins else m.part for m in network.members)
    return {
        "kind": network.kind,
        "description": network.description,
        "members": ", ".join(members),
        "run-on": band_words(network.run_on, "min"),
        "wakes every": _waking(network.wakes),
        "only": condition_words(network.condition),
        "copied from": network.copied,
        "hands-off": network.hands_off,
    }


def _gateway(gateway: Gateway) -> dict[str, str]:
    passes = gateway.passes
    crossing = "not said" if passes is None else ", ".join(f"{a} to {b}" for a, b in sorted(passes)) or "nothing"
    return {
        "joins": ", ".join(sorted(gateway.joins)),
        "waking crosses": crossing,
        "only": condition_words(gateway.condition),
    }


def _star(star: Star) -> dict[str, str]:
    legs = "; ".join(sorted(", ".join(sorted(leg)) for leg in star.legs))
    reach = band_words(star.reach, "min")
    return {"network": star.network, "legs": legs, "place": star.place, "reach": reach, "hands-off": star.hands_off}


def _stated(stated: Stated) -> dict[str, str]:
    feed = "always" if stated.always else f"in {', '.join(stated.positions)}"
    return {"fed": feed, "only": condition_words(stated.condition)}
