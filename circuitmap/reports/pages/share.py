"""A platform as values for one page: every fuse, load, network and sheet, each with what belongs to it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.reports.problems.not_read import not_complete_sentences
from circuitmap.reports.words.cautions import measuring_cautions
from circuitmap.reports.words.hands_off_words import row_words
from circuitmap.reports.words.paragraphs import shortened
from circuitmap.reports.words.part_words import (
    condition_words,
    kind_words,
    named,
    open_end_words,
    rating,
    terminal_words,
    wire_words,
)
from circuitmap.reports.words.vehicle_words import vehicle_about, vehicle_name
from circuitmap.wiring.parts import Load, OpenEnd
from circuitmap.wiring.platform import Platform, Wire


class SharedPicture(NamedTuple):
    """A drawing as SVG, and what is to be said below it."""

    svg: str = ""
    notes: tuple[str, ...] = ()


class SharedPictures(NamedTuple):
    """The drawings of one page by the name of their fuse; `legend` is an SVG, too. `shapes` is what they all use,
    `style` the CSS for them."""

    of_fuse: Mapping[str, SharedPicture] = MappingProxyType({})
    legend: str = ""
    shapes: str = ""
    style: str = ""


NO_PICTURE, NO_PICTURES = SharedPicture(), SharedPictures()


@dataclass(frozen=True, slots=True)
class SharedItem:
    """One thing with an anchor. `refers` are anchors of others with their words."""

    anchor: str
    name: str
    says: str
    facts: tuple[tuple[str, str], ...] = ()
    refers: tuple[tuple[str, str], ...] = ()
    drawing: SharedPicture = NO_PICTURE
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Chapter:
    anchor: str
    title: str
    says: str
    items: tuple[SharedItem, ...]


@dataclass(frozen=True, slots=True)
class SharedPlatform:
    title: str
    says: str
    chapters: tuple[Chapter, ...]
    not_known: tuple[str, ...]
    cautions: tuple[str, ...]
    not_complete: tuple[str, ...] = ()
    cut_off: tuple[str, ...] = ()
    pictures: SharedPictures = NO_PICTURES


def shared_platform(
    platform: Platform,
    hanging: Mapping[str, Mapping[str, str]],
    fed: Mapping[str, str],
    pictures: SharedPictures,
    hands_off: HandsOffMap,
    cut_off: tuple[str, ...] = (),
) -> SharedPlatform:
    """`hanging`: fuse -> what is on it, and by which pin if not its supply; `fed`: load -> how it is fed; `cut_off`:
    what would have been too much to work out or draw."""
    on: dict[str, list[str]] = {}
    for fuse, names in hanging.items():
        for name in names:
            on.setdefault(name, []).append(fuse)
    chapters = (
        *_fuse_chapters(platform, hanging, fed, pictures.of_fuse, hands_off),
        Chapter(
            "loads", "Loads", "", tuple(_load(platform, load, on, fed, hands_off) for load in _by_name(platform.loads))
        ),
        Chapter("networks", "Networks", "", tuple(_networks(platform))),
        Chapter("sheets", "Sheets", "What was typed in of each.", tuple(_sheets(platform))),
    )
    return SharedPlatform(
        title=vehicle_name(platform),
        says=vehicle_about(platform),
        chapters=tuple(chapter for chapter in chapters if chapter.items),
        not_known=tuple(_open_ends(platform)),
        cautions=measuring_cautions(platform),
        not_complete=tuple(not_complete_sentences(platform)),
        cut_off=cut_off,
        pictures=pictures,
    )


def _by_name(parts: tuple[Load, ...]) -> list[Load]:
    return sorted(parts, key=lambda part: part.name)


def anchor_of(kind: str, name: str) -> str:
    """An anchor that is unique on a page: kind and name, made only of letters, digits, and `-` `_` `.`."""
    safe = "".join(c if (c.isalnum() and c.isascii()) or c in "-_." else f"~{ord(c):x}" for c in name)
    return f"{kind}-{safe}"


def _reference(platform: Platform, name: str) -> tuple[str, str]:
    part = platform.parts[name]
    kind = "fuse" if part.kind in ("fuse", "link", "breaker") else "load" if isinstance(part, Load) else ""
    return (anchor_of(kind, name) if kind else "", named(platform, name))


def _fuse_chapters(
    platform: Platform,
    hanging: Mapping[str, Mapping[str, str]],
    fed: Mapping[str, str],
    drawings: Mapping[str, SharedPicture],
    hands_off: HandsOffMap,
) -> Iterator[Chapter]:
    boxes: dict[str, list[SharedItem]] = {}
    for fuse in platform.fuses:
        box = platform.box_of(fuse.name)
        its = hanging.get(fuse.name, {})
        refers = []
        for name, by_pin in its.items():
            anchor, words = _reference(platform, name)
            how = by_pin or fed.get(name, "")
            refers.append((anchor, f"{words}: {how}" if how else words))
        facts = [
            ("HANDS OFF", _why(hands_off, fuse.name)),
            ("size", rating(fuse)),
            ("only", condition_words(fuse.condition)),
            ("sheets", ", ".join(fuse.sheets)),
        ]
        item = SharedItem(
            anchor=anchor_of("fuse", fuse.name), name=fuse.name, says=fuse.description,
            facts=_known(facts), refers=tuple(refers), drawing=drawings.get(fuse.name, NO_PICTURE),
        )  # fmt: skip
        boxes.setdefault(box.name if box is not None else "", []).append(item)
    for name, items in boxes.items():
        part = platform.parts.get(name)
        says = ", ".join(word for word in (part.description, part.place) if word) if part is not None else ""
        title = f"Fuses in {name}" if name else "Other fuses"
        yield Chapter(anchor_of("box", name or "other"), title, says, tuple(items))


def _why(hands_off: HandsOffMap, name: str) -> str:
    """Why nobody may pull, unplug, probe or measure it; empty where that is allowed."""
    its = hands_off.why_not(name)
    return row_words(its) if its is not None else ""


def _load(
    platform: Platform, load: Load, on: Mapping[str, list[str]], fed: Mapping[str, str], hands_off: HandsOffMap
) -> SharedItem:
    facts = [
        ("HANDS OFF", _why(hands_off, load.name)),
        ("kind", kind_words(load)), ("fed", fed.get(load.name, "")), ("place", load.place),
        ("part number", load.part_number), ("only", condition_words(load.condition)),
        ("copied from", load.copied and f"{load.copied}, not yet checked"),
    ]  # fmt: skip
    refers = [(anchor_of("fuse", fuse), f"fuse {named(platform, fuse)}") for fuse in on.get(load.name, ())]
    refers += [(anchor_of("network", n), f"network {n}") for n in platform.networks_of.get(load.name, ())]
    rows = tuple(_wire_row(platform, wire) for wire in platform.wires_at.get(load.name, ()))
    return SharedItem(
        anchor_of("load", load.name), load.name, load.description, _known(facts), tuple(refers), rows=rows
    )


def _networks(platform: Platform) -> Iterator[SharedItem]:
    for network in platform.networks.values():
        refers = [_reference(platform, name) for name in network.member_names if name in platform.parts]
        gateways = [g.module for g in platform.gateways if network.name in g.joins]
        facts = [
            ("kind", network.kind),
            ("gateway", ", ".join(gateways)),
            ("only", condition_words(network.condition)),
        ]
        yield SharedItem(
            anchor_of("network", network.name), network.name, network.description, _known(facts), tuple(refers)
        )


def _sheets(platform: Platform) -> Iterator[SharedItem]:
    wires: dict[str, list[Wire]] = {}
    for wire in platform.wires:
        for name in wire.sheets:
            wires.setdefault(name, []).append(wire)
    for sheet in platform.sheets.values():
        facts = [("typed in", "whole" if sheet.whole else ""), ("only", condition_words(sheet.condition))]
        rows = tuple(_wire_row(platform, wire) for wire in wires.get(sheet.name, ()) if wire.kind != "chart")
        yield SharedItem(anchor_of("sheet", sheet.name), sheet.name, sheet.title, _known(facts), rows=rows)


def _wire_row(platform: Platform, wire: Wire) -> tuple[str, ...]:
    return (
        terminal_words(platform, wire.a),
        wire_words(wire),
        terminal_words(platform, wire.b),
        shortened(wire.sheets),
    )


def _open_ends(platform: Platform) -> Iterator[str]:
    for part in platform.parts.values():
        if isinstance(part, OpenEnd):
            ends = platform.wires_at.get(part.name, ())
            where = [terminal_words(platform, w.a if w.b.part == part.name else w.b) for w in ends]
            sheets = sorted({sheet for wire in ends for sheet in wire.sheets})
            on = f" (sheet {', '.join(sheets)})" if sheets else ""
            yield f"{', '.join(where)}: {open_end_words(part)}{on}"


def _known(facts: list[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    return tuple((label, value) for label, value in facts if value)
