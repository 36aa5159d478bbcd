"""The list to carry to the car: every fuse, box by box in the order of the box, with room to write."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from circuitmap.reports.cautions import cautions_at
from circuitmap.reports.part_words import rating
from circuitmap.wiring.parts import Battery, Fuse, Load
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
    """A load on a fuse and how it is fed, in words: `constant`, `run, start`, `by message only`."""

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


Drops = Callable[[Fuse], Drop | None]
"""The drop of a fuse, or None where its style or rating is not known or nothing is published."""


def worksheet_of(
    platform: Platform,
    hanging: Mapping[str, tuple[str, ...]],
    fed: Mapping[str, str],
    drop_of: Drops,
) -> Worksheet:
    """`hanging`: fuse -> loads and fuses right below it; `fed`: load -> how it is fed, in words."""
    boxes: dict[str, list[Fuse]] = {}
    for fuse in platform.fuses:
        box = platform.box_of(fuse.name)
        boxes.setdefault(box.name if box else fuse.name.rpartition(".")[0], []).append(fuse)
    pages = []
    for name, fuses in boxes.items():
        around = platform.parts.get(name)
        rows = tuple(
            _row(platform, fuse, hanging.get(fuse.name, ()), fed, drop_of)
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


NOTES = (
    "mV: across both test points on the fuse itself, nothing unplugged, leads zeroed, sign kept. Cold fuse, parked "
    "currents; makes differ by 10 to 15 in 100 (common practice).",
    "e: estimated from other ratings of the same style, no data sheet value. -: no value known; say only whether it "
    "draws.",
    "hides: the current below which a meter with 0.1 mV steps shows 0.0 (two counts). 0.0 is not quiet below it.",
    "Total: the reading at the battery at that moment. If it moved, the rows do not belong together.",
    "A fuse that feeds fuses shows the sum of its branches: do not count both.",
)


def _row(platform: Platform, fuse: Fuse, below: tuple[str, ...], fed: Mapping[str, str], drop_of: Drops) -> Row:
    hanging = []
    fuses = []
    for name in below:
        part = platform.parts.get(name)
        if isinstance(part, Fuse):
            fuses.append(name)
        else:
            description = part.description if part is not None else ""
            is_load = isinstance(part, Load)
            hanging.append(Hanging(name, description, fed.get(name, "not known") if is_load else ""))
    drop = None if fuse.empty else drop_of(fuse)
    return Row(fuse, rating(fuse), tuple(hanging), tuple(fuses), drop)


def hanging_words(row: Row) -> list[str]:
    """One line for each thing on the fuse."""
    if row.fuse.empty:
        return [row.fuse.description or "-"]
    lines = []
    for item in row.hanging:
        about = f"{item.load}, {item.description}" if item.description else item.load
        lines.append(f"{about}: {item.fed}" if item.fed else about)
    if row.feeds_fuses:
        lines.append(f"feeds {', '.join(row.feeds_fuses)}")
    if not lines:
        lines.append(f"{row.fuse.description or 'nothing'}: not typed in")
    return lines


def drop_words(drop: Drop | None) -> tuple[str, ...]:
    """The millivolts for each current, then what 0.0 hides."""
    if drop is None:
        return (*("-" for _ in CURRENTS), "-")
    mark = " e" if drop.estimated else ""
    values = tuple(f"{value:.1f}{mark}" if value >= 0.05 else f"<0.1{mark}" for value in drop.millivolts)
    return (*values, f"{drop.hides * 1000:.0f} mA")
