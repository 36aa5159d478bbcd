"""What a part, a wire and an amount are called on a screen."""

import math
from collections.abc import Iterable

from circuitmap.quantities import Band
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import (
    Battery,
    Condition,
    Diode,
    Fuse,
    OpenEnd,
    Part,
    Resistor,
    Terminal,
    Undeclared,
    is_unnamed,
)
from circuitmap.wiring.platform import Platform, Wire


def signal_words(kind: str) -> str:
    """`wake pin`, `coil`; empty for a place where a part takes its supply."""
    return f"{kind} pin" if kind in ("wake", "sense", "control", "signal") else "coil" if kind == "coil" else ""


def amps(value: float) -> str:
    """A current: amperes from 1 A, else milliamperes, with no more digits than a workshop reads."""
    if abs(value) >= 0.9995:
        return f"{value:.3g} A"
    if abs(value) < 0.0995:
        return f"{value * 1000:.2g} mA"
    return f"{value * 1000:.3g} mA"


def amps_band(band: Band) -> str:
    return amps(band.low) if band.low == band.high else f"{amps(band.low)} to {amps(band.high)}"


def minutes(band: Band) -> str:
    if band.low == band.high:
        return f"{band.low:g} min"
    return f"{band.low:g} to {band.high:g} min"


def time_words(band: Band) -> str:
    """`10 min`, `20 s`, `without limit`."""
    if band.high == math.inf:
        return "without limit"
    if band.high < 1.0:
        return minutes(Band(band.low * 60.0, band.high * 60.0)).replace(" min", " s")
    return minutes(band)


def most_words(band: Band) -> str:
    """`at most 10 min`, `without limit`."""
    return time_words(band) if band.high == math.inf else f"at most {time_words(band)}"


def rating(fuse: Fuse) -> str:
    """`20 A mini`, `150 A bolted`, `fuse, size not typed in`."""
    if fuse.empty:
        return "empty slot"
    words = [f"{fuse.rating:g} A"] if fuse.rating is not None else ["? A"]
    if fuse.style:
        words.append(fuse.style)
    if fuse.kind != "fuse":
        words.append({"link": "fusible link", "breaker": "breaker"}[fuse.kind])
    if fuse.else_empty:
        words.append("or an empty slot")
    return " ".join(words)


def named(platform: Platform, name: str) -> str:
    """`HEATER, Auxiliary heater`; an open end by what the sheet says of it."""
    part = platform.parts.get(name)
    if part is None:
        return name
    if isinstance(part, OpenEnd):
        return open_end_words(part)
    return f"{name}, {part.description}" if part.description else name


def in_full(platform: Platform, name: str) -> str:
    """Name, description, and where it sits."""
    part = platform.parts.get(name)
    words = named(platform, name)
    return f"{words}, {part.place}" if part is not None and part.place else words


def open_end_words(end: OpenEnd) -> str:
    said = f' "{end.description}"' if end.description else ""
    return f"not typed in{said}"


def kind_words(part: Part) -> str:
    """The kind of a part as a noun."""
    if isinstance(part, Undeclared):
        return "not declared"
    if isinstance(part, OpenEnd):
        return "open end"
    if isinstance(part, Battery) and part.series:
        return "batteries in series"
    return {"link": "fusible link", "breaker": "circuit breaker", "terminal": "ring terminal"}.get(part.kind, part.kind)


def terminal_words(platform: Platform, terminal: Terminal) -> str:
    """`HEATER.A1`; a pin that nobody knows, and the sides of a fuse, are left out; an open end is `?`."""
    part = platform.parts.get(terminal.part)
    if isinstance(part, OpenEnd):
        return f"? {part.description}".rstrip()
    if not terminal.pin or is_unnamed(terminal.pin) or isinstance(part, Fuse | Diode | Resistor):
        return terminal.part
    return f"{terminal.part}.{terminal.pin}"


def written_words(platform: Platform, name: str) -> str:
    """A part, terminal or `A - B` written as text, without names that nobody typed: the pins of a fuse and unknown pins
    are left out, an open end is the point that it leaves from with what the sheet says."""
    if " - " in name:
        return " - ".join(written_words(platform, end) for end in name.split(" - "))
    if name.startswith("?"):
        part = platform.parts.get(name) or platform.parts.get(name.rpartition(".")[0])
        wires = platform.wires_at.get(part.name, ()) if part is not None else ()
        ends = [end for wire in wires for end in (wire.a, wire.b) if part is not None and end.part != part.name]
        said = f' ("{part.description}")' if part is not None and part.description else ""
        return f"{terminal_words(platform, ends[0]) if ends else name.lstrip('?')}{said}"
    owner, pin = name, ""
    while owner and owner not in platform.parts:
        owner, _, level = owner.rpartition(".")
        pin = f"{level}.{pin}" if pin else level
    return terminal_words(platform, Terminal(owner, pin)) if owner else name


def copied_words(sources: Iterable[str]) -> str:
    """The vehicles that something was copied from, each once with what was noted beside its name in parentheses."""
    notes: dict[str, dict[str, None]] = {}
    for source in sources:
        vehicle, _, note = source.partition(";")
        notes.setdefault(vehicle.strip(), {}).update(dict.fromkeys([note.strip()] if note.strip() else []))
    return joined([f"{vehicle} ({', '.join(its)})" if its else vehicle for vehicle, its in notes.items()])


def wire_words(wire: Wire) -> str:
    """`OG/BK 0.75mm2`; what the sheet does not say is not made up."""
    if wire.kind == "chart":
        return "wires not typed in"
    if wire.kind == "copper":
        return "copper in the box"
    words = [word for word in (wire.colour_written, wire.size_written) if word]
    if wire.name:
        words.append(f"named {wire.name}")
    if wire.code:
        words.append(f"code {wire.code}")
    return " ".join(words) or "wire"


def condition_words(condition: Condition) -> str:
    """`if TOW`, `if not TOW and AC`; empty when there is none."""
    if not condition:
        return ""
    return "if " + " and ".join(need.option if need.fitted else f"not {need.option}" for need in condition)
