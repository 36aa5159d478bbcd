"""The list to carry to the car: every fuse, box by box in the order of the box, with room to write."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from circuitmap.circuit.feeding import Feeding, Taking
from circuitmap.evidence.fuse_drop import cold_resistance, hidden_below, millivolts_at
from circuitmap.power.classes import LoadClass
from circuitmap.power.feeds import Feed
from circuitmap.reports.cautions import cautions_at
from circuitmap.reports.class_words import class_words
from circuitmap.reports.feed_words import demand_words, feed_words
from circuitmap.reports.part_words import rating
from circuitmap.wiring.parts import Battery, Fuse, OpenEnd, Terminal
from circuitmap.wiring.platform import Platform

CURRENTS = (0.020, 0.050, 0.200)
"""Amperes for which the sheet gives the millivolts; judgement: what is suspicious on one fuse, what is a fault."""


@dataclass(frozen=True, slots=True)
class Drop:
    """What a fuse shows at `CURRENTS`, in millivolts, and how much current a display of 0.0 mV can hide, in amperes.

    `estimated`: the resistance comes from a fitted curve, not from a data sheet.
    """

    millivolts: tuple[float, ...]
    hides: float
    estimated: bool


@dataclass(frozen=True, slots=True)
class Hanging:
    """Something on a fuse and how it is fed, in words: `constant`, `live in run, start`, `coil`."""

    load: str
    description: str
    fed: str


@dataclass(frozen=True, slots=True)
class Row:
    """`feeds_fuses`: fuses right below this one; what hangs on them is on their own lines."""

    fuse: Fuse
    size: str
    hanging: tuple[Hanging, ...]
    feeds_fuses: tuple[str, ...]
    drop: Drop | None


@dataclass(frozen=True, slots=True)
class BoxPage:
    name: str
    description: str
    place: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Worksheet:
    title: str
    cautions: tuple[str, ...]
    boxes: tuple[BoxPage, ...]
    notes: tuple[str, ...]


def worksheet_of(feeding: Feeding, feeds: Mapping[Terminal, Feed], classes: Mapping[str, LoadClass]) -> Worksheet:
    """`feeds` of the loads' supply pins."""
    platform = feeding.circuit.platform
    boxes: dict[str, list[Fuse]] = {}
    for fuse in platform.fuses:
        box = platform.box_of(fuse.name)
        boxes.setdefault(box.name if box else fuse.name.rpartition(".")[0], []).append(fuse)
    below = _below(feeding)
    pages = []
    for name, fuses in boxes.items():
        around = platform.parts.get(name)
        rows = tuple(
            Row(
                fuse,
                rating(fuse),
                tuple(_hanging(platform, fuse, taking, feeds, classes) for taking in below.get(fuse.name, ((), {}))[0]),
                tuple(below.get(fuse.name, ((), {}))[1]),
                drop_of(fuse),
            )
            for fuse in sorted(fuses, key=lambda fuse: fuse.slot)
        )
        pages.append(BoxPage(name, around.description if around else "", around.place if around else "", rows))
    batteries = sum(2 if p.series else 1 for p in platform.parts.values() if isinstance(p, Battery))
    years = f", {platform.years}" if platform.years else ""
    return Worksheet(
        f"{platform.name}{years}, {platform.supply_volts:g} V",
        cautions_at("measure", platform.supply_volts, batteries),
        tuple(pages),
        NOTES,
    )


def drop_of(fuse: Fuse) -> Drop | None:
    """None where the style or rating is not known, nothing is published, or there is no fuse."""
    resistance = None if fuse.empty or fuse.kind != "fuse" else cold_resistance(fuse.style, fuse.rating)
    if resistance is None:
        return None
    drops = tuple(millivolts_at(amps, resistance) for amps in CURRENTS)
    return Drop(drops, hidden_below(resistance), resistance.is_estimate)


def _below(feeding: Feeding) -> Mapping[str, tuple[list[Taking], dict[str, None]]]:
    """What hangs right on each fuse, with no other in between: takings, and the fuses that it feeds."""
    found: dict[str, tuple[list[Taking], dict[str, None]]] = {}
    for taking in feeding.takings:
        for path in taking.paths.direct:
            fuses = path.fuses
            for above, under in pairwise(fuses):
                found.setdefault(above, ([], {}))[1][under] = None
            if fuses and fuses[-1] != taking.part:
                takings = found.setdefault(fuses[-1], ([], {}))[0]
                if taking not in takings:
                    takings.append(taking)
    return found


def _hanging(
    platform: Platform, fuse: Fuse, taking: Taking, feeds: Mapping[Terminal, Feed], classes: Mapping[str, LoadClass]
) -> Hanging:
    part = platform.parts.get(taking.part)
    if isinstance(part, OpenEnd):
        return Hanging("not typed in", part.description, "")
    description = part.description if part is not None else ""
    if taking.kind == "end":
        return Hanging(taking.part, description, "nothing typed in behind it")
    if taking.kind == "coil":
        return Hanging(taking.part, description, "coil")
    return Hanging(taking.part, description, _fed_words(platform, fuse, taking, feeds, classes))


def _fed_words(
    platform: Platform, fuse: Fuse, taking: Taking, feeds: Mapping[Terminal, Feed], classes: Mapping[str, LoadClass]
) -> str:
    """How a load is fed through this fuse, which may not be the only one."""
    mine = [path for path in taking.paths.direct if path.fuses[-1:] == (fuse.name,)]
    feed = feeds.get(taking.terminal)
    if len(mine) < len(taking.paths.direct) or feed is None:
        when = sorted({demand_words(path.demands, platform) for path in mine}, key=len)[0]
        return f"when {when}" if when else "constant"
    if feed.kind == "always" and taking.part in classes:
        return class_words(classes[taking.part])
    return feed_words(feed)


NOTES = (
    "mV: across both test points on the fuse itself, nothing unplugged, leads zeroed, sign kept. Cold fuse, parked "
    "currents; makes differ by 10 to 15 in 100 (common practice).",
    "e: estimated from other ratings of the same style, no data sheet value. -: no value known; say only whether it "
    "draws.",
    "hides: the current below which a meter with 0.1 mV steps shows 0.0 (two counts). 0.0 is not quiet below it.",
    "Total: the reading at the battery at that moment. If it moved, the rows do not belong together.",
    "A fuse that feeds fuses shows the sum of its branches: do not count both.",
)


def hanging_words(row: Row) -> list[str]:
    """What is on the fuse, a line for all that is fed in the same way."""
    if row.fuse.empty:
        return [row.fuse.description or "-"]
    by_feed: dict[str, dict[str, None]] = {}
    for item in row.hanging:
        about = f"{item.load}, {item.description}" if item.description else item.load
        by_feed.setdefault(item.fed, {})[about] = None
    lines = [f"{'; '.join(names)}{': ' if fed else ''}{fed}" for fed, names in by_feed.items()]
    if row.feeds_fuses:
        lines.append(f"feeds {', '.join(row.feeds_fuses)}")
    return lines or [f"{row.fuse.description or 'nothing'}: not typed in"]


def drop_words(drop: Drop | None) -> tuple[str, ...]:
    """The millivolts for each current, then what 0.0 hides."""
    if drop is None:
        return (*("-" for _ in CURRENTS), "-")
    mark = " e" if drop.estimated else ""
    values = tuple(f"{value:.1f}{mark}" if value >= 0.05 else f"<0.1{mark}" for value in drop.millivolts)
    return (*values, f"{drop.hides * 1000:.0f} mA")
