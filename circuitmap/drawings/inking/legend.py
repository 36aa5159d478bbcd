"""The foot of a page: what the lines and marks in this drawing mean, its sheets, and what is not known."""

from collections.abc import Callable

from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, Plate, Role, Stroke
from circuitmap.drawings.inking.symbols import badge
from circuitmap.drawings.inking.wires_ink import layers_of
from circuitmap.drawings.lettering.text_width import LEGEND, NAME, Style, clean, lines_of, shorten, width_of
from circuitmap.drawings.scene.palette import (
    EXPECTED,
    FAINT,
    HALOS,
    INK,
    MARK_COLOURS,
    NETWORK_COLOURS,
    READ_OFF,
    READ_SOUND,
    SOFT_INK,
)
from circuitmap.drawings.scene.scene import DrawnWire, Kind, Mark, Nature, Scene
from circuitmap.drawings.shapes.lands import sheet_numbers

_SAMPLE = 26.0
_ROW = 14.0
Sample = Callable[[float, float], list[Ink]]
"""Draws the sample of an entry; arguments: left end and middle line."""


def legend_of(scene: Scene, width: float) -> tuple[list[Ink], float]:
    """The ink of the foot, from its own top left corner, and its height."""
    ink: list[Ink] = [Stroke(((0, 0), (width, 0)), FAINT, 0.6, role=Role.LEGEND)]
    x, y = 0.0, 13.0
    for sample, words in _entries(scene):
        words = shorten(words, LEGEND, width - _SAMPLE - 6)
        needed = _SAMPLE + 5 + width_of(words, LEGEND)
        if x and x + needed > width:
            x, y = 0.0, y + _ROW
        ink += sample(x, y - 2.8)
        ink.append(_text(x + _SAMPLE + 5, y, words, LEGEND, SOFT_INK))
        x += needed + 16
    y += _ROW + 2
    x = 0.0
    for number, words in _sheet_lines(scene):
        indent = max(10.0, width_of(number, LEGEND) + 3) + 5 if number else 0.0
        words = shorten(words, LEGEND, width - indent)
        needed = width_of(words, LEGEND) + indent
        if x and x + needed > width:
            x, y = 0.0, y + _ROW - 1
        if number:
            ink += _number_plate(x, y - 2.8, number)
        ink.append(_text(x + indent, y, words, LEGEND, INK))
        x += needed + 16
    if not scene.sheets:
        y -= _ROW
    for heading, sentences, most in (
        ("Volts: ", scene.remarks, 9),
        ("Not known: ", scene.notes, 9 if scene.volts else 3),
    ):
        y += 4 if sentences else 0
        indent = width_of(heading, Style(8, True))
        for at, note in enumerate(sentences):
            for line_number, line in enumerate(lines_of(note, LEGEND, width - indent, most)):
                y += LEGEND.line + 1
                if at == 0 and line_number == 0:
                    ink.append(_text(0, y, heading.strip(), Style(8, True), INK))
                ink.append(_text(indent, y, line, LEGEND, INK))
    return ink, y + 2


def _sheet_lines(scene: Scene) -> list[tuple[str, str]]:
    """The number and words of each sheet; a single sheet has no number."""
    numbers = sheet_numbers(scene)
    lines = []
    for sheet in scene.sheets:
        words = sheet.title if sheet.name in numbers else f"Sheet {sheet.name} {sheet.title}"
        lines.append((numbers.get(sheet.name, ""), clean(words)))
    return lines


def _text(x: float, y: float, text: str, style: Style, colour: str) -> DrawnText:
    return DrawnText(x, y, text, style, colour, width_of(text, style), role=Role.LEGEND)


def _entries(scene: Scene) -> list[tuple[Sample, str]]:
    """Entries for only what occurs in this drawing."""
    entries: list[tuple[Sample, str]] = []
    marks = {part.mark for part in scene.parts} | {wire.mark for wire in scene.wires} | {n.mark for n in scene.networks}
    for mark, words in (
        (Mark.DRAWING, "draws current while parked"),
        (Mark.QUIET, "read, and quiet"),
        (Mark.UNREAD, "not read yet"),
        (Mark.SUSPECT, "suspect"),
        (Mark.FAULTY, "found faulty"),
    ):
        if mark in marks:
            entries.append((_mark_sample(mark), words))
    if any(part.named for part in scene.parts):
        entries.append((_plate_sample(INK), "asked for"))
    if scene.volts:
        entries.append((_plate_sample(EXPECTED), "volts to expect, nine times in ten"))
    if any(its.read and not its.stands for its in scene.volts):
        entries.append((_plate_sample(READ_SOUND), "read, as it should be"))
    if any(its.stands for its in scene.volts):
        entries.append((_plate_sample(READ_OFF), "read, too low or too high"))
    wires = scene.wires
    striped = next((wire for wire in wires if wire.nature is Nature.WIRE and wire.tracer), None)
    if striped:
        entries.append(
            (_wire_sample(striped), f"wire {striped.colour}/{striped.tracer}: base colour / tracer, size in mm²")
        )
    for nature, words in (
        (Nature.COPPER, "copper in the box, no wire"),
        (Nature.CHART, "fuse chart only: wires not typed in"),
    ):
        one = next((wire for wire in wires if wire.nature is nature), None)
        if one:
            entries.append((_wire_sample(one), words))
    plain = next((wire for wire in wires if wire.nature is Nature.WIRE and not wire.colour), None)
    if plain:
        entries.append((_wire_sample(plain), "colour not noted"))
    if scene.networks:
        entries.append((_network_sample, "data network and its taps"))
    if any(part.kind is Kind.OPEN_END for part in scene.parts):
        entries.append((_open_end_sample, "goes on, not on the drawings yet"))
    if any(part.kind is Kind.MORE for part in scene.parts):
        entries.append((_more_sample, "left out of this drawing"))
    if sheet_numbers(scene):
        first = next(iter(sheet_numbers(scene).values()))
        entries.append((_number_sample(first), "in a wire's tag: number of its sheet"))
    return entries


def _mark_sample(mark: Mark) -> Sample:
    def draw(x: float, y: float) -> list[Ink]:
        halo: list[Ink] = []
        if mark in (Mark.DRAWING, Mark.SUSPECT, Mark.FAULTY):
            halo = [Plate(x, y - 5.5, _SAMPLE, 11, 5, HALOS[mark], role=Role.LEGEND)]
        else:
            dash = (1.2, 2.2) if mark is Mark.QUIET else (4.0, 2.5)
            halo = [Plate(x, y - 5.5, _SAMPLE, 11, 5, "", MARK_COLOURS[mark], 1.3, dash, Role.LEGEND)]
        return [*halo, *badge(mark, x + 18, y + 3.2)]

    return draw


def _plate_sample(fill: str) -> Sample:
    return lambda x, y: [Plate(x + 2, y - 5.4, 22, 11, 2.5, fill, role=Role.LEGEND)]


def _wire_sample(wire: DrawnWire) -> Sample:
    def draw(x: float, y: float) -> list[Ink]:
        points = ((x, y), (x + _SAMPLE, y))
        return [Stroke(points, colour, width, dash, role=Role.LEGEND) for colour, width, dash in layers_of(wire)]

    return draw


def _network_sample(x: float, y: float) -> list[Ink]:
    colour = NETWORK_COLOURS[0]
    return [
        Stroke(((x, y + 2), (x + _SAMPLE, y + 2)), colour, 4.0, role=Role.LEGEND),
        Stroke(((x + 13, y - 6), (x + 13, y + 2)), colour, 1.6, (2.5, 1.5), role=Role.LEGEND),
    ]


def _open_end_sample(x: float, y: float) -> list[Ink]:
    width = width_of("?", NAME)
    return [
        Disc(x + 13, y, 6, "", INK, 1.0, (2.4, 1.8), role=Role.LEGEND),
        _text(x + 13 - width / 2, y + 3.2, "?", NAME, INK),
    ]


def _more_sample(x: float, y: float) -> list[Ink]:
    plate = Plate(x + 1, y - 5, 24, 10, 4, "#f3f3f3", SOFT_INK, 1.0, (2.5, 1.8), role=Role.LEGEND)
    width = width_of("+n", LEGEND)
    return [plate, _text(x + 13 - width / 2, y + 2.8, "+n", LEGEND, SOFT_INK)]


def _number_sample(number: str) -> Sample:
    """The plate of a sheet's number; a long number is cut to the room there is."""
    words = shorten(number, LEGEND, _SAMPLE - 3)
    return lambda x, y: _number_plate(x + (_SAMPLE - max(10.0, width_of(words, LEGEND) + 3)) / 2, y, words)


def _number_plate(x: float, y: float, number: str) -> list[Ink]:
    width = width_of(number, LEGEND)
    plate = Plate(x, y - 5, max(10.0, width + 3), 10, 1.5, "#e4e4e4", role=Role.LEGEND)
    return [plate, _text(x + plate.width / 2 - width / 2, y + 2.8, number, LEGEND, SOFT_INK)]
