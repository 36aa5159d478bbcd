"""Cuts a drawing that is larger than a page into several, joined by marks that name the other page.

A page is A4, upright or across, with no type below 7 pt. One sheet as it was typed takes one or two pages, of the
smallest paper for which that is enough: cut into more of them it could not be compared with the paper. A wide drawing
is cut between its columns, where the fewest wires cross; one that is too high is cut between its levels. Rails and
networks continue on every page. What is cut out of a scene here is called a sheet as well, of print.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from string import ascii_uppercase

from circuitmap.drawings.inking.ink import Picture
from circuitmap.drawings.inking.paint import picture_of
from circuitmap.drawings.lettering.text_width import SMALLEST_TYPE
from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
from circuitmap.drawings.placing.layout import Layout, layout_of
from circuitmap.drawings.scene.scene import DrawnEnd, DrawnNetwork, DrawnPart, DrawnVolts, DrawnWire, Kind, Mark, Scene
from circuitmap.wiring.parts import is_unnamed

PAPERS = {"A4": (595.28, 841.89), "A3": (841.89, 1190.55), "A2": (1190.55, 1683.78), "A1": (1683.78, 2383.94)}
"""Paper of ISO 216, upright, in points."""
A4 = PAPERS["A4"]
LEAST_TYPE = 7.0
LEAST_SCALE = LEAST_TYPE / SMALLEST_TYPE
MOST_SHEETS = 40
_PAGES_OF_A_SHEET = 2
_MOST_JOINS = 20
_WORTH_TRYING = 1.7
"""Two sheets are tried on one page when together they take no more than this many pages."""
_NEARLY = 1.2
"""A drawing that is too high by no more than this is first cut into columns, which also makes it less high."""


def page_scale(picture: Picture) -> tuple[bool, float]:
    """Whether a picture goes on its paper in landscape, and the scale it is printed at, never above 1."""
    short, long = PAPERS[picture.paper]
    upright = min(1.0, short / picture.width, long / picture.height)
    across = min(1.0, long / picture.width, short / picture.height)
    return across > upright, max(upright, across)


def fits_a_page(picture: Picture) -> bool:
    return page_scale(picture)[1] >= LEAST_SCALE


def pages_of(scene: Scene, graphviz: GraphvizProcess, in_one: bool = False) -> tuple[Picture, ...]:
    """The pictures of a scene: one if it fits a page (or if it is wanted `in_one`), else one for each page."""
    layout = layout_of(scene, graphviz)
    picture = picture_of(scene, layout)
    if in_one:
        return (picture,)
    most = _PAGES_OF_A_SHEET if scene.sheet else MOST_SHEETS
    for paper in PAPERS if scene.sheet else (scene.paper,):
        scene, picture = replace(scene, paper=paper), picture._replace(paper=paper)
        if fits_a_page(picture):
            return (picture_of(scene, layout),)
        areas = _cut_to_fit(scene, layout, picture, graphviz, most)
        if areas:
            break
    else:
        areas = _cut_to_fit(scene, layout, picture, graphviz, MOST_SHEETS)
    groups = _joined_up(scene, areas, graphviz)
    return tuple(picture_of(sheet, layout_of(sheet, graphviz)) for sheet in sheets_of(scene, groups))


def _cut_to_fit(
    scene: Scene, layout: Layout, picture: Picture, graphviz: GraphvizProcess, most: int
) -> dict[frozenset[str], float]:
    """Groups of parts that each fit a page, as long as they hold more than one part, with the area each takes. Empty if
    they are more than `most`, which may not be more than `MOST_SHEETS`: of so many the last cut stands."""
    layers, columns = _pages_needed(picture)
    if layers * columns > most and most < MOST_SHEETS:
        return {}
    groups = _groups(scene, layout, layers, columns)
    while True:
        smaller: list[frozenset[str]] = []
        areas: dict[frozenset[str], float] = {}
        for group, sheet in zip(groups, sheets_of(scene, groups), strict=True):
            found = layout_of(sheet, graphviz)
            drawn = picture_of(sheet, found)
            areas[group] = drawn.width * drawn.height
            smaller += [group] if fits_a_page(drawn) else _halves(scene, found, drawn, group)
        if len(smaller) > most and most < MOST_SHEETS:
            return {}
        if len(smaller) == len(groups) or len(smaller) > MOST_SHEETS:
            return areas
        groups = smaller


def _joined_up(scene: Scene, areas: dict[frozenset[str], float], graphviz: GraphvizProcess) -> list[frozenset[str]]:
    """Joins groups that together fit on one page after all, starting with those that have most wires between them."""
    groups = list(areas)
    short, long = PAPERS[scene.paper]
    room = _WORTH_TRYING * short * long / LEAST_SCALE**2
    tried: set[frozenset[str]] = set()
    while len(tried) < _MOST_JOINS:
        pairs = []
        for number, one in enumerate(groups):
            for other in range(number + 1, len(groups)):
                both = one | groups[other]
                if both not in tried and areas[one] + areas[groups[other]] <= room:
                    between = sum(
                        (w.start.owner in one and w.finish.owner in groups[other])
                        or (w.finish.owner in one and w.start.owner in groups[other])
                        for w in scene.wires
                    )
                    pairs.append((-between, number, other))
        if not pairs:
            break
        _, number, other = min(pairs)
        both = groups[number] | groups[other]
        tried.add(both)
        together = [*groups[:number], both, *groups[number + 1 : other], *groups[other + 1 :]]
        sheet = sheets_of(scene, together)[number]
        drawn = picture_of(sheet, layout_of(sheet, graphviz))
        if fits_a_page(drawn):
            areas[both] = drawn.width * drawn.height
            groups = together
    return groups


def _halves(scene: Scene, layout: Layout, picture: Picture, group: frozenset[str]) -> list[frozenset[str]]:
    """A group that is still too large, cut across its levels or between its columns."""
    if picture.height * LEAST_SCALE > PAPERS[picture.paper][1]:
        spans = {part.key: (part.y, part.y + part.body.height) for part in layout.parts}
    else:
        spans = {part.key: (part.x, part.x + part.body.width) for part in layout.parts}
    return _slices(scene, spans, group, 2)


def _pages_needed(picture: Picture) -> tuple[int, int]:
    """The least number of pages above one another, and side by side."""
    short, long = PAPERS[picture.paper]
    width, height = picture.width * LEAST_SCALE, picture.height * LEAST_SCALE
    layers = math.ceil(height / (_NEARLY * long))
    across = math.ceil(width / (long if height / layers <= short else short))
    return layers, max(across, 2 if layers == 1 else 1)


def _groups(scene: Scene, layout: Layout, layers: int, columns: int) -> list[frozenset[str]]:
    """The parts of a scene in groups: a given number of levels from top to bottom, each in a given number of
    columns."""
    across = {part.key: (part.x, part.x + part.body.width) for part in layout.parts}
    down = {part.key: (part.y, part.y + part.body.height) for part in layout.parts}
    return [
        group
        for layer in _slices(scene, down, frozenset(down), layers)
        for group in _slices(scene, across, layer, columns)
    ]


def _slices(
    scene: Scene, spans: Mapping[str, tuple[float, float]], group: frozenset[str], count: int
) -> list[frozenset[str]]:
    """A group in a given number of slices of about the same reach, or fewer if it has fewer parts."""
    slices = []
    for left in range(count, 1, -1):
        if len(group) < 2:
            break
        first, group = _cut(scene, spans, group, 1 / left)
        slices.append(first)
    return [*slices, group]


def _cut(
    scene: Scene, spans: Mapping[str, tuple[float, float]], group: frozenset[str], share: float
) -> tuple[frozenset[str], frozenset[str]]:
    """Cut a group after about `share` of its reach, where few wires and few parts are in the way. Neither half is
    empty unless the group has a single part."""
    order = sorted(group, key=lambda key: (sum(spans[key]), key))
    small = {key: owner for key, owner in _followers(scene).items() if key in group and owner in group}
    low, high = min(spans[key][0] for key in group), max(spans[key][1] for key in group)
    inner = [wire for wire in scene.wires if wire.start.owner in group and wire.finish.owner in group]
    best: tuple[float, frozenset[str]] | None = None
    for count in range(1, len(order)):
        before = set(order[:count])
        for key, owner in small.items():
            (before.add if owner in before else before.discard)(key)
        if not before or len(before) == len(order):
            continue
        joined = {
            (wire.start, wire.finish.owner in before)
            for wire in inner
            if (wire.start.owner in before) != (wire.finish.owner in before)
        }
        at = (sum(spans[order[count - 1]]) + sum(spans[order[count]])) / 4
        cost = len(joined) + 40 * abs((at - low) / (high - low or 1.0) - share)
        if best is None or cost < best[0]:
            best = (cost, frozenset(before))
    first = best[1] if best else frozenset(order[:1])
    return first, group - first


def _followers(scene: Scene) -> dict[str, str]:
    """Grounds and stubs stay with the part they belong to."""
    kinds = {part.key: part.kind for part in scene.parts}
    following = {Kind.GROUND, Kind.OPEN_END, Kind.MORE, Kind.TO_SHEET, Kind.FROM_SHEET}
    owners = {}
    for wire in scene.wires:
        start, finish = wire.start.owner, wire.finish.owner
        if kinds.get(finish) in following and start in kinds:
            owners[finish] = start
        elif kinds.get(start) in following and finish in kinds:
            owners[start] = finish
    return {key: owner for key, owner in owners.items() if owner not in owners}


def sheets_of(scene: Scene, groups: Sequence[frozenset[str]]) -> list[Scene]:
    """One scene for each group of parts, with marks where a wire continues on another sheet."""
    sheet_of = {key: number for number, group in enumerate(groups) for key in group}
    parts = {part.key: part for part in scene.parts}
    own_parts: list[list[DrawnPart]] = [[p for p in scene.parts if p.key in group] for group in groups]
    own_wires: list[list[DrawnWire]] = [[] for _ in groups]
    letters: dict[tuple[DrawnEnd, int], str] = {}
    for wire in scene.wires:
        start = sheet_of.get(wire.start.owner)
        finish = sheet_of.get(wire.finish.owner)
        if start is None or finish is None or start == finish:
            home = start if start is not None else finish
            own_wires[home if home is not None else 0].append(wire)
            continue
        key = (wire.start, finish)
        letter = letters.get(key)
        if letter is None:
            letter = letters[key] = _letter(len(letters))
            words = _name_of(parts[wire.start.owner], wire.start.pin)
            own_parts[finish].append(
                DrawnPart(f"from {letter}", Kind.FROM_SHEET, f"{letter} from print {start + 1}", description=words)
            )
            own_parts[start].append(DrawnPart(f"to {letter}", Kind.TO_SHEET, f"{letter} to print {finish + 1}"))
        leaving = replace(wire, key=f"{wire.key} leaving", finish=DrawnEnd(f"to {letter}"))
        _add_leaving(own_wires[start], leaving)
        own_wires[finish].append(replace(wire, start=DrawnEnd(f"from {letter}")))
    return [_sheet(scene, number, len(groups), own_parts[number], own_wires[number]) for number in range(len(groups))]


def _add_leaving(wires: list[DrawnWire], leaving: DrawnWire) -> None:
    """One line to a mark for all wires that look alike; it bears the strongest of their marks."""
    for number, other in enumerate(wires):
        if replace(other, key="", mark=Mark.NONE, named=False) == replace(leaving, key="", mark=Mark.NONE, named=False):
            mark = min(other.mark, leaving.mark, key=_STRENGTH.index)
            wires[number] = replace(other, mark=mark, named=other.named or leaving.named)
            return
    wires.append(leaving)


_STRENGTH = (Mark.DRAWING, Mark.FAULTY, Mark.SUSPECT, Mark.UNREAD, Mark.QUIET, Mark.NONE)


def _sheet(scene: Scene, number: int, count: int, parts: Sequence[DrawnPart], wires: Sequence[DrawnWire]) -> Scene:
    keys = {part.key for part in parts}
    used = {end.owner for wire in wires for end in (wire.start, wire.finish)}
    sheets = {name for wire in wires for name in wire.sheets}
    networks = []
    for network in scene.networks:
        taps = tuple(tap for tap in network.taps if tap.part in keys)
        if taps:
            words = network.words if len(taps) == len(network.taps) else f"{network.words}, goes on on other pages"
            networks.append(DrawnNetwork(network.key, network.name, words, taps, network.mark))
    return replace(
        scene,
        parts=tuple(parts),
        wires=tuple(wires),
        rails=tuple(rail for rail in scene.rails if rail.key in used),
        networks=tuple(networks),
        sheets=tuple(sheet for sheet in scene.sheets if sheet.name in sheets),
        notes=scene.notes if number == count - 1 else (),
        volts=tuple(_volts_here(scene, wires)),
        remarks=scene.remarks if number == count - 1 else (),
        number=number + 1,
        of=count,
    )


def _volts_here(scene: Scene, wires: Sequence[DrawnWire]) -> Iterator[DrawnVolts]:
    """The volts at those ends of wires that are on this page: a wire that leaves has its start here, one that arrives
    its finish."""
    starts = {wire.key: wire.start for wire in scene.wires}
    here = {wire.key: wire for wire in wires}
    for volts in scene.volts:
        leaving = next(
            (wire for wire in wires if wire.finish.owner.startswith("to ") and wire.start == starts[volts.wire]), None
        )
        if volts.wire in here and here[volts.wire].start.owner.startswith("from ") and volts.at_start:
            continue
        if volts.wire in here:
            yield volts
        elif volts.at_start and leaving is not None:
            yield volts._replace(wire=leaving.key)


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    first, second = divmod(number, len(ascii_uppercase))
    return (ascii_uppercase[first - 1] if first else "") + ascii_uppercase[second]


def _name_of(part: DrawnPart, pin: str) -> str:
    numbered = pin and not is_unnamed(pin) and part.name and part.kind is not Kind.CAVITY
    return f"{part.name}.{pin}" if numbered else part.name or part.description
