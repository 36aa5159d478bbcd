"""From places to ink: a page with its title, the drawing, and below it the legend and what is not known."""

from collections.abc import Mapping
from itertools import pairwise

from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, InkGroup, Outline, Picture, Plate, Role, Stroke
from circuitmap.drawings.inking.legend import legend_of
from circuitmap.drawings.inking.symbols import badge, symbol_of
from circuitmap.drawings.inking.wires_ink import DrawnLine, any_marked, ink_of_lines, wire_line
from circuitmap.drawings.lettering.text_width import (
    NAME,
    RAIL_NAME,
    SUBTITLE,
    TAG,
    TITLE,
    Style,
    clean,
    lines_of,
    width_of,
)
from circuitmap.drawings.placing.layout import Layout, PlacedLine, PlacedPart, PlacedTag
from circuitmap.drawings.scene.palette import (
    EXPECTED,
    FAINT,
    HALOS,
    INK,
    MARK_COLOURS,
    NETWORK_COLOURS,
    PAPER,
    RAIL_COLOURS,
    READ_OFF,
    READ_SOUND,
    SOFT_INK,
)
from circuitmap.drawings.scene.scene import DrawnFeed, DrawnPart, DrawnVolts, DrawnWire, Kind, Mark, Scene
from circuitmap.drawings.shapes.body import Form
from circuitmap.drawings.shapes.lands import VOLTS, sheet_marks, sheet_numbers, tag_text, volts_cells

MARGIN = 24.0
_LEAST_WIDTH = 420.0


def bare_picture_of(scene: Scene, layout: Layout) -> Picture:
    """One scene without a title above it and without a foot, for a page that says both in its own words."""
    ink, groups = _drawing(scene, layout)
    return Picture(layout.width, layout.height, tuple(ink), clean(scene.title), words_of(scene), groups=tuple(groups))


def legend_picture(scene: Scene, width: float) -> Picture:
    """What the lines and marks of a scene mean, and its sheets."""
    ink, height = legend_of(scene, width)
    return Picture(width, height, tuple(ink), clean(scene.title))


def picture_of(scene: Scene, layout: Layout) -> Picture:
    """The whole page of one scene."""
    inner = max(layout.width, _LEAST_WIDTH)
    left = MARGIN + (inner - layout.width) / 2
    head, top = _head(scene, inner)
    ink: list[Ink] = [*head]
    drawn, groups = _drawing(scene, layout)
    before = 1 + len(ink)  # the paper lies below all of it
    ink += [moved(piece, left, top) for piece in drawn]
    foot, height = legend_of(scene, inner)
    foot_top = top + layout.height + 16
    ink += [moved(piece, MARGIN, foot_top) for piece in foot]
    total = foot_top + height + MARGIN
    width = inner + 2 * MARGIN
    paper = Plate(0, 0, width, total, 0, PAPER, role=Role.PAGE)
    things = tuple(group.moved(before, left, top) for group in groups)
    return Picture(width, total, (paper, *ink), clean(scene.title), words_of(scene), scene.paper, things)


def words_of(scene: Scene) -> str:
    """The drawing in words, for somebody who cannot see it."""
    words = [f"{clean(scene.subtitle)}." if scene.subtitle else ""]
    for mark in (Mark.DRAWING, Mark.QUIET, Mark.UNREAD, Mark.SUSPECT, Mark.FAULTY):
        names = [clean(part.name) for part in scene.parts if part.mark is mark]
        if names:
            words.append(f"{mark.value.capitalize()}: {', '.join(names)}.")
    named = [clean(part.name) for part in scene.parts if part.named]
    if named:
        words.append(f"Asked for: {', '.join(named)}.")
    if scene.volts:
        at = [f"{its.expected}{f', {its.read} read' if its.read else ''}" for its in scene.volts]
        words.append(f"Volts from supply to ground: {'; '.join(at)}. {' '.join(map(clean, scene.remarks))}")
    return " ".join(word for word in words if word)


def _head(scene: Scene, width: float) -> tuple[list[Ink], float]:
    ink: list[Ink] = []
    y = MARGIN
    words = (f"print {scene.number} of {scene.of}" if scene.of > 1 else "", scene.paper if scene.paper != "A4" else "")
    sheet = ", ".join(word for word in words if word)
    room = width - (width_of(sheet, SUBTITLE) + 12 if sheet else 0)
    for line in lines_of(scene.title, TITLE, room, 2):
        y += TITLE.line
        ink.append(text_at(MARGIN, y - 3, line, TITLE, INK, Role.PAGE))
    if sheet:
        x = MARGIN + width - width_of(sheet, SUBTITLE)
        ink.append(text_at(x, MARGIN + TITLE.line - 3, sheet, SUBTITLE, SOFT_INK, Role.PAGE))
    for line in lines_of(scene.subtitle, SUBTITLE, width, 2):
        y += SUBTITLE.line
        ink.append(text_at(MARGIN, y - 2, line, SUBTITLE, SOFT_INK, Role.PAGE))
    y += 5
    ink.append(Stroke(((MARGIN, y), (MARGIN + width, y)), FAINT, 0.6, role=Role.PAGE))
    return ink, y + 12


def text_at(x: float, y: float, text: str, style: Style, colour: str, role: Role, centred: bool = False) -> DrawnText:
    width = width_of(text, style)
    return DrawnText(x - width / 2 if centred else x, y, text, style, colour, width, role=role)


def _drawing(scene: Scene, layout: Layout) -> tuple[list[Ink], list[InkGroup]]:
    """The ink of everything in place, and which of it belongs to one part or tag."""
    parts = {part.key: part for part in scene.parts}
    wires = {wire.key: wire for wire in scene.wires}
    fading = any_marked(wires)
    ink: list[Ink] = []
    for placed in layout.parts:
        ink += _halo(parts[placed.key], placed)
    colours = {net.key: NETWORK_COLOURS[n % len(NETWORK_COLOURS)] for n, net in enumerate(scene.networks)}
    lines = []
    for route in layout.routes:
        if route.entry in wires:
            lines.append(wire_line(wires[route.entry], route, fading))
        else:
            lines.append(DrawnLine(route.entry, route.points, ((colours[route.entry], 1.6, (4.0, 2.5)),)))
    ink += _rails(scene, layout, colours)
    ink += _gaps_in_rails(layout, lines)
    ink += ink_of_lines(lines)
    ink += _tap_dots(layout, lines, wires, colours)
    groups: list[InkGroup] = []
    for placed in layout.parts:
        own = [*symbol_of(parts[placed.key], placed), *_letters(parts[placed.key], placed)]
        groups.append(InkGroup(len(ink), len(ink) + len(own), placed.x, placed.y))
        ink += own
    numbers = sheet_numbers(scene)
    volts = {its.key: its for its in scene.volts}
    for tag in layout.tags:
        own = _volts(volts[tag.entry], tag) if tag.entry in volts else _tag(wires[tag.entry], tag, numbers)
        groups.append(InkGroup(len(ink), len(ink) + len(own), tag.x, tag.y))
        ink += own
    return ink, groups


def _halo(part: DrawnPart, placed: PlacedPart) -> list[Ink]:
    frame = placed.body.frame
    x, y = placed.x + frame.x, placed.y + frame.y
    if part.mark in (Mark.DRAWING, Mark.SUSPECT, Mark.FAULTY):
        return [Plate(x - 6, y - 5, frame.width + 12, frame.height + 10, 7, HALOS[part.mark], role=Role.HALO)]
    if part.mark in (Mark.QUIET, Mark.UNREAD) and placed.body.form is Form.SYMBOL:
        dash = (1.2, 2.2) if part.mark is Mark.QUIET else (4.0, 2.5)
        return [Plate(x - 4, y + 3, frame.width + 8, frame.height - 6, 5, "", MARK_COLOURS[part.mark], 1.3, dash)]
    return []


def _letters(part: DrawnPart, placed: PlacedPart) -> list[Ink]:
    ink: list[Ink] = []
    for letter in placed.body.letters:
        width = width_of(letter.text, letter.style)
        x = placed.x + letter.x - (width / 2 if letter.centred else 0)
        y = placed.y + letter.y
        colour = letter.colour
        is_name = letter.style is NAME or part.kind is Kind.CAVITY
        if part.named and is_name and not letter.badge:
            ink.append(Plate(x - 3, y - 8.4, width + 6, 11.2, 2.5, INK, role=Role.TAG))
            colour = PAPER
        if letter.badge:
            ink += badge(letter.badge, x, y)
        ink.append(DrawnText(x, y, letter.text, letter.style, colour, width, owner=part.key))
    return ink


def _rails(scene: Scene, layout: Layout, colours: Mapping[str, str]) -> list[Ink]:
    ink: list[Ink] = []
    rails = {rail.key: rail for rail in scene.rails}
    networks = {net.key: net for net in scene.networks}
    for placed in layout.rails:
        feed = rails[placed.key].feed
        dash = {DrawnFeed.CONSTANT: (), DrawnFeed.SWITCHED: (9.0, 4.0), DrawnFeed.UNKNOWN: (2.0, 3.0)}[feed]
        ink += _rail(placed, RAIL_COLOURS[feed], 3.4, dash, Mark.NONE)
    for placed in layout.networks:
        width = 3.2 if placed.star else 5.0
        ink += _rail(placed, colours[placed.key], width, (), networks[placed.key].mark)
    return ink


def _rail(placed: PlacedLine, colour: str, width: float, dash: tuple[float, ...], mark: Mark) -> list[Ink]:
    points = ((placed.x, placed.y), (placed.right, placed.y))
    ink: list[Ink] = []
    if mark:
        ink.append(Stroke(points, HALOS[mark], 11.0, role=Role.HALO))
    line = Stroke(points, colour, width, dash, role=Role.RAIL, owner=placed.key)
    name = text_at(placed.name_x, placed.y - (7.5 if mark else 5), placed.name, RAIL_NAME, INK, Role.RAIL)
    return [*ink, line, name]


def _gaps_in_rails(layout: Layout, lines: list[DrawnLine]) -> list[Ink]:
    """A gap in each rail and network where a line passes over it that does not end there."""
    gaps: list[Ink] = []
    for rail in (*layout.rails, *layout.networks):
        for line in lines:
            for (x, top), (_, bottom) in pairwise(line.points):
                if min(top, bottom) < rail.y < max(top, bottom) and rail.x < x < rail.right:
                    half = max(line.width, 2.0) / 2 + 2.2
                    gaps.append(Stroke(((x - half, rail.y), (x + half, rail.y)), PAPER, 7.0, (), Role.GAP, rail.key))
    return gaps


def _tap_dots(
    layout: Layout, lines: list[DrawnLine], wires: Mapping[str, DrawnWire], colours: Mapping[str, str]
) -> list[Ink]:
    ys = {line.y for line in (*layout.rails, *layout.networks)}
    dots: list[Ink] = []
    for line in lines:
        for point in {line.points[0], line.points[-1]}:
            if point[1] in ys:
                dots.append(Disc(point[0], point[1], 3.4, colours.get(line.entry, INK), PAPER, 0.8, role=Role.RAIL))
    return sorted(dots, key=lambda dot: (dot.y, dot.x) if isinstance(dot, Disc) else (0.0, 0.0))


def _tag(wire: DrawnWire, tag: PlacedTag, numbers: Mapping[str, str]) -> list[Ink]:
    ground = Plate(tag.x, tag.y, tag.width, tag.height, 2.5, PAPER, FAINT, 0.6, role=Role.TAG, owner=wire.key)
    ink: list[Ink] = [ground]
    text = tag_text(wire)
    at = 3.5
    if text:
        width = width_of(text, TAG)
        ink.append(_tag_text(tag, at, text, INK, wire.key))
        at += width + 2.5
    for mark in sheet_marks(wire, numbers):
        width = width_of(mark, TAG)
        plate = (tag.x + at, tag.y + 1.5, width + 3, tag.height - 3)
        if tag.upright:
            plate = (tag.x + 1.5, tag.y + tag.height - at - width - 3, tag.width - 3, width + 3)
        ink.append(Plate(*plate, 1.5, "#e4e4e4", role=Role.TAG, owner=wire.key))
        ink.append(_tag_text(tag, at + 1.5, mark, SOFT_INK, wire.key))
        at += width + 5
    return ink


def _volts(volts: DrawnVolts, tag: PlacedTag) -> list[Ink]:
    """What is to be expected, and beside it what was read."""
    ink: list[Ink] = []
    at = 0.0
    for number, (text, width) in enumerate(volts_cells(volts)):
        is_read = number > 0 or not volts.expected
        fill = (READ_OFF if volts.stands else READ_SOUND) if is_read else EXPECTED
        colour = PAPER if is_read else INK
        plate = (tag.x + at, tag.y, width, tag.height)
        if tag.upright:
            plate = (tag.x, tag.y + tag.height - at - width, tag.width, width)
        ink.append(Plate(*plate, 2.5, fill, role=Role.TAG, owner=volts.wire))
        x, y = (tag.x + 8.2, tag.y + tag.height - at - 3.5) if tag.upright else (tag.x + at + 3.5, tag.y + 8.2)
        across = width_of(text, VOLTS)
        ink.append(DrawnText(x, y, text, VOLTS, colour, across, tag.upright, Role.TAG, volts.wire))
        at += width
    return ink


def _tag_text(tag: PlacedTag, along: float, text: str, colour: str, owner: str) -> DrawnText:
    width = width_of(text, TAG)
    if tag.upright:
        return DrawnText(tag.x + 8.2, tag.y + tag.height - along, text, TAG, colour, width, True, Role.TAG, owner)
    return DrawnText(tag.x + along, tag.y + 8.2, text, TAG, colour, width, False, Role.TAG, owner)


def moved(ink: Ink, dx: float, dy: float) -> Ink:
    """The same ink somewhere else."""
    if isinstance(ink, (Stroke, Outline)):
        return ink._replace(points=tuple((x + dx, y + dy) for x, y in ink.points))
    return ink._replace(x=ink.x + dx, y=ink.y + dy)
