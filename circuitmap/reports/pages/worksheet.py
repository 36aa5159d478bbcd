"""The list to carry to the car: every fuse, box by box in the order of the box, with room to write."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from circuitmap.circuit.feed_ways import Needs, batteries_joined_by
from circuitmap.circuit.feeding import Feeding, Taking
from circuitmap.circuit.path import Path
from circuitmap.evidence.fuse_drop import cold_resistance, hidden_below, millivolts_at
from circuitmap.power.classes import LoadClass
from circuitmap.power.feeds import Feed
from circuitmap.reports.live.class_words import class_words
from circuitmap.reports.words.cautions import measuring_cautions
from circuitmap.reports.words.demand_words import demand_words, with_words
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.reports.words.hands_off_words import row_words
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.reports.words.part_words import rating, signal_words
from circuitmap.reports.words.vehicle_words import vehicle_head
from circuitmap.wiring.parts import Fuse, OpenEnd, Terminal
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
class WorksheetRow:
    """`feeds_fuses`: fuses right below this one; what hangs on them is on their own lines. `also`: in words, what other
    current passes while some contact is closed: to other fuses, between two batteries. `cut_off`: some ways were not
    followed, so more may hang here. `hands_off`: why this fuse is neither pulled nor read; such a row has no room to
    write in."""

    fuse: Fuse
    size: str
    hanging: tuple[Hanging, ...]
    feeds_fuses: tuple[str, ...]
    also: tuple[str, ...]
    drop: Drop | None
    cut_off: bool = False
    hands_off: str = ""

    @property
    def is_read(self) -> bool:
        """Whether there is something to read at this fuse, and reading it is allowed."""
        return not self.fuse.empty and not self.hands_off


@dataclass(frozen=True, slots=True)
class BoxPage:
    name: str
    description: str
    place: str
    rows: tuple[WorksheetRow, ...]


@dataclass(frozen=True, slots=True)
class Worksheet:
    title: str
    cautions: tuple[str, ...]
    boxes: tuple[BoxPage, ...]
    notes: tuple[str, ...]


def worksheet_of(feeding: Feeding, feeds: Mapping[Terminal, Feed], classes: Mapping[str, LoadClass]) -> Worksheet:
    """`feeds` says when the loads' supply pins are live."""
    platform = feeding.circuit.platform
    boxes: dict[str, list[Fuse]] = {}
    for fuse in platform.fuses:
        box = platform.box_of(fuse.name)
        boxes.setdefault(box.name if box else fuse.name.rpartition(".")[0], []).append(fuse)
    below = _below(feeding)
    cut_off = any(taking.paths.cut_off for taking in feeding.takings)
    pages = []
    for name, fuses in boxes.items():
        around = platform.parts.get(name)
        rows = []
        for fuse in sorted(fuses, key=lambda fuse: fuse.slot):
            under = below.get(fuse.name, _Below())
            hanging = tuple(_hanging(platform, fuse, taking, feeds, classes) for taking in under.takings.values())
            also = tuple(_also_words(feeding, fuse.name, under))
            why = feeding.circuit.hands_off.why_not(fuse.name)
            drop = drop_of(fuse) if why is None else None
            row = WorksheetRow(fuse, rating(fuse), hanging, tuple(under.fuses), also, drop, cut_off)
            rows.append(row if why is None else replace(row, hands_off=f"HANDS OFF: {row_words(why)}"))
        pages.append(BoxPage(name, around.description if around else "", around.place if around else "", tuple(rows)))
    return Worksheet(
        vehicle_head(platform),
        measuring_cautions(platform),
        tuple(pages),
        (*NOTES, CUT_OFF) if cut_off else NOTES,
    )


def drop_of(fuse: Fuse) -> Drop | None:
    """None where the style or rating is not known, nothing is published, or there is no fuse."""
    resistance = None if fuse.empty or fuse.kind != "fuse" else cold_resistance(fuse.style, fuse.rating)
    if resistance is None:
        return None
    drops = tuple(millivolts_at(amps, resistance) for amps in CURRENTS)
    return Drop(drops, hidden_below(resistance), resistance.is_estimate)


@dataclass(frozen=True, slots=True)
class _Below:
    """What hangs directly on a fuse, with no other in between: takings, the fuses that it feeds, and, with the ways,
    what it feeds only from a battery that does not normally drive it."""

    takings: dict[int, Taking] = field(default_factory=dict)
    fuses: dict[str, None] = field(default_factory=dict)
    also: dict[str, list[Path]] = field(default_factory=dict)


def _below(feeding: Feeding) -> Mapping[str, _Below]:
    found: dict[str, _Below] = {}
    for number, taking in enumerate(feeding.takings):
        for path in taking.paths.direct:
            fuses = path.fuses
            for above, under in pairwise(fuses):
                its = found.setdefault(above, _Below())
                if path.second:
                    its.also.setdefault(under, []).append(path)
                else:
                    its.fuses[under] = None
            if fuses and fuses[-1] != taking.part and path.second and path.goes_back:
                found.setdefault(fuses[-1], _Below()).also.setdefault(taking.part, []).append(path)
            elif fuses and fuses[-1] != taking.part:
                found.setdefault(fuses[-1], _Below()).takings[number] = taking
    return found


def _also_words(feeding: Feeding, fuse: str, under: _Below) -> Iterator[str]:
    """`with KSPLIT pulled in between BAT and BAT2`; `also CAB.F3 with KSPLIT pulled in, from BAT2`."""
    for join in batteries_joined_by(feeding, fuse):
        yield f"between {joined([join.battery, *join.others])} {with_words(join.demands)}".rstrip()
    known = {taking.part for taking in under.takings.values()}
    needs = Needs(feeding.circuit.platform, feeding.fitting)
    also: dict[tuple[tuple[str, ...], str], tuple[dict[str, None], dict[str, None]]] = {}
    for name, paths in under.also.items():
        if name not in under.fuses and name not in known:
            demands = {s: states for s, states in needs.of_all(paths).items() if s.kind != "option"}
            contacts = tuple(sorted(subject.name for subject in demands))
            names, batteries = also.setdefault((contacts, with_words(demands)), ({}, {}))
            names[name] = None
            batteries.update(dict.fromkeys(path.start.part for path in paths))
    for (_, when), (names, batteries) in sorted(also.items(), key=lambda entry: len(entry[0][0]))[:1]:
        yield f"also, {when}, from {joined(list(batteries))}: {shortened(list(names), 4)}"


def _hanging(
    platform: Platform, fuse: Fuse, taking: Taking, feeds: Mapping[Terminal, Feed], classes: Mapping[str, LoadClass]
) -> Hanging:
    part = platform.parts.get(taking.part)
    if isinstance(part, OpenEnd):
        return Hanging("not typed in", part.description, "")
    description = part.description if part is not None else ""
    if taking.kind == "end":
        return Hanging(taking.part, description, "nothing typed in behind it")
    if signal_words(taking.kind):
        return Hanging(taking.part, description, signal_words(taking.kind))
    return Hanging(taking.part, description, _fed_words(platform, fuse, taking, feeds, classes))


def _fed_words(
    platform: Platform, fuse: Fuse, taking: Taking, feeds: Mapping[Terminal, Feed], classes: Mapping[str, LoadClass]
) -> str:
    """How a load is fed through this fuse, which may not be its only one."""
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


CUT_OFF = (
    "Cut off: there are more ways from fuses to loads than were looked for. More may hang on a fuse than stands here."
)
MOST_CHARACTERS = 1_500
"""How many characters tell what is on a fuse (judgement: what a row of an A4 page has room for)."""
MOST_NAMES = 40
"""How many names in one line, and how many lines, tell what is on a fuse (judgement: it is one row of a page; the
samples have a dozen)."""


def hanging_words(row: WorksheetRow) -> list[str]:
    """What is on the fuse, with one line for all that is fed in the same way; if there are very many, only the first
    ones."""
    if row.hands_off:
        return [row.hands_off, *([row.fuse.description] if row.fuse.description else [])]
    if row.fuse.empty:
        return [row.fuse.description or "-"]
    by_feed: dict[str, dict[str, None]] = {}
    for item in row.hanging:
        about = f"{item.load}, {item.description}" if item.description else item.load
        by_feed.setdefault(item.fed, {})[about] = None
    lines = [f"{'; '.join(_first(list(names)))}{': ' if fed else ''}{fed}" for fed, names in by_feed.items()]
    lines = _first(lines)
    if row.feeds_fuses:
        lines.append(f"feeds {', '.join(_first(row.feeds_fuses))}")
    lines += row.also
    missing = "not followed (cut off)" if row.cut_off else "not typed in"
    return _of_one_row(lines or [f"{row.fuse.description or 'nothing'}: {missing}"])


def _of_one_row(lines: list[str]) -> list[str]:
    """The lines, as far as they fit into one row of a page."""
    room = MOST_CHARACTERS
    for number, line in enumerate(lines):
        if len(line) > room:
            return [*lines[:number], f"{line[:room]} ... (cut off: trace lists the rest)"]
        room -= len(line)
    return lines


def _first(words: Sequence[str]) -> list[str]:
    more = len(words) - MOST_NAMES
    return [*words[:MOST_NAMES], f"{more} more (trace lists them)"] if more > 0 else list(words)


def drop_words(drop: Drop | None) -> tuple[str, ...]:
    """The millivolts for each current, then what 0.0 hides."""
    if drop is None:
        return (*("-" for _ in CURRENTS), "-")
    mark = " e" if drop.estimated else ""
    values = tuple(f"{value:.1f}{mark}" if value >= 0.05 else f"<0.1{mark}" for value in drop.millivolts)
    return (*values, f"{drop.hides * 1000:.0f} mA")
