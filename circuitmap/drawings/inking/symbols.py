"""Symbols after IEC 60617: fuse, contact, coil, lamp, motor, heater, diode, battery, ground and whatever else stands on
a path. Every function draws at the place of a part and returns ink; lines below the symbol's frame are its leads.
"""

import math
from collections.abc import Callable, Iterator

from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, Outline, Plate, Stroke
from circuitmap.drawings.lettering.text_width import NAME, Style, width_of
from circuitmap.drawings.placing.layout import PlacedPart
from circuitmap.drawings.scene.palette import INK, MARK_COLOURS, PAPER, SOFT_INK
from circuitmap.drawings.scene.scene import CoilLook, DrawnCoil, DrawnContact, DrawnPart, Kind, Mark
from circuitmap.drawings.shapes.body import Body, Element, Form
from circuitmap.drawings.shapes.gear import ROW
from circuitmap.drawings.shapes.lands import LandSide
from circuitmap.wiring.parts import SECOND

LINE = 1.3
_LETTER = Style(12, True)
_COIL_LETTER = Style(8, True)


def symbol_of(part: DrawnPart, placed: PlacedPart) -> list[Ink]:
    """The ink of a part, without its halo and its lettering."""
    body = placed.body
    if body.form is Form.GEAR:
        return [*_outline(part, placed), *_gear(placed)]
    if body.form is Form.BOX:
        ink = _outline(part, placed)
        if part.kind in _GLYPHS:
            glyph, size = _GLYPHS[part.kind]
            lead = 14 if any(land.side is LandSide.TOP for land in body.lands) else 5
            ink += glyph(placed.x + body.width / 2, placed.y + lead + 10, size)
        return ink
    x = placed.x + body.frame.x + body.frame.width / 2
    top, bottom = placed.y + body.frame.y, placed.y + body.frame.y + body.frame.height
    bars = [] if part.kind in (Kind.SPLICE, Kind.TERMINAL, Kind.BAR) else _land_bars(placed)
    return [*_SYMBOLS[part.kind](x, top, bottom, body), *bars]


def outline_style(mark: Mark) -> tuple[str, float, tuple[float, ...]]:
    """Colour, width and dash of a marked part's outline."""
    return {
        Mark.NONE: (INK, LINE, ()),
        Mark.DRAWING: (MARK_COLOURS[Mark.DRAWING], 2.2, ()),
        Mark.SUSPECT: (INK, 2.2, (7.0, 3.0)),
        Mark.FAULTY: (INK, 2.8, ()),
        Mark.UNREAD: (INK, LINE, (5.0, 2.5)),
        Mark.QUIET: (INK, LINE, ()),
    }[mark]


def badge(mark: Mark, x: float, y: float) -> list[Ink]:
    """The little shape before a mark's word; `x`, `y` is the left end of the word's baseline."""
    colour = MARK_COLOURS[mark]
    left, middle = x - 9.0, y - 3.2
    if mark is Mark.DRAWING:
        return [Outline(((left, middle + 3), (left + 7, middle + 3), (left + 3.5, middle - 3.6)), colour)]
    if mark is Mark.QUIET:
        return [Disc(left + 3.5, middle, 3.0, PAPER, colour, 1.4)]
    if mark is Mark.UNREAD:
        return [Plate(left + 0.7, middle - 2.8, 5.6, 5.6, 0, PAPER, colour, 1.3, (1.6, 1.2))]
    points = ((left, middle), (left + 3.6, middle - 3.8), (left + 7.2, middle), (left + 3.6, middle + 3.8))
    return [Outline(points, colour, INK, 0.7)]


def _outline(part: DrawnPart, placed: PlacedPart) -> list[Ink]:
    frame = placed.body.frame
    colour, line, dash = outline_style(part.mark)
    if placed.body.form is Form.GEAR and not part.mark:
        dash = (3.0, 2.0)
    radius = 2.0 if part.kind in (Kind.SENSOR, Kind.SOCKET) or placed.body.form is Form.GEAR else 4.0
    plate = Plate(placed.x + frame.x, placed.y + frame.y, frame.width, frame.height, radius, PAPER, colour, line, dash)
    return [plate, *_land_bars(placed)]


def _land_bars(placed: PlacedPart) -> list[Ink]:
    """A short bar where several wires share a pin."""
    spans: dict[tuple[str, LandSide], list[tuple[float, float]]] = {}
    for land, place in placed.body.lands.items():
        spans.setdefault((land.pin, land.side), []).append(place)
    bars: list[Ink] = []
    for places in spans.values():
        if len(places) > 1:
            xs = [x for x, _ in places]
            y = placed.y + places[0][1]
            points = ((placed.x + min(xs) - 1.5, y), (placed.x + max(xs) + 1.5, y))
            bars.append(Stroke(points, INK, 2.6))
    return bars


def _line(*points: tuple[float, float], width: float = LINE, dash: tuple[float, ...] = ()) -> Stroke:
    return Stroke(points, INK, width, dash)


def _leads(x: float, top: float, bottom: float, inner_top: float, inner_bottom: float) -> list[Ink]:
    return [_line((x, top), (x, inner_top)), _line((x, inner_bottom), (x, bottom))]


def _fuse(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    plate = Plate(x - 6, top + 7, 12, bottom - top - 14, 0, PAPER, INK, LINE)
    return [plate, _line((x, top), (x, bottom), width=1.0)]


def _link(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    ends = [Plate(x - 6, y, 12, 5, 0, INK) for y in (top + 7, bottom - 12)]
    return [*_fuse(x, top, bottom, body), *ends]


def _breaker(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    upper, lower = top + 12, bottom - 12
    cross = [_line((x - 3, upper - 3), (x + 3, upper + 3)), _line((x - 3, upper + 3), (x + 3, upper - 3))]
    return [*_leads(x, top, bottom, upper, lower), *cross, _line((x, lower), (x - 9, upper + 1))]


def _diode(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    """The point is on the cathode, pin 2, which stands above where the current flows up (a quench diode)."""
    middle = (top + bottom) / 2
    upwards = any(land.side is LandSide.TOP and land.pin == SECOND for land in body.lands)
    base, point = (middle + 6, middle - 6) if upwards else (middle - 6, middle + 6)
    triangle = Outline(((x - 7, base), (x + 7, base), (x, point)), PAPER, INK, LINE)
    return [_line((x, top), (x, bottom)), triangle, _line((x - 7, point), (x + 7, point), width=1.8)]


def _resistor(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    plate = Plate(x - 5, top + 8, 10, bottom - top - 16, 0, PAPER, INK, LINE)
    return [*_leads(x, top, bottom, top + 8, bottom - 8), plate]


def _on_leads(glyph: "Glyph", size: float, half: float) -> "Symbol":
    """A symbol on the path, with leads that end `half` above and below its middle."""

    def draw(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
        middle = (top + bottom) / 2
        return [*_leads(x, top, bottom, middle - half, middle + half), *glyph(x, middle, size)]

    return draw


def _lamp_glyph(x: float, y: float, size: float) -> list[Ink]:
    r = size / 2
    s = r * math.sqrt(0.5)
    cross = [_line((x - s, y - s), (x + s, y + s)), _line((x - s, y + s), (x + s, y - s))]
    return [Disc(x, y, r, PAPER, INK, LINE), *cross]


def _letter_glyph(letter: str) -> "Glyph":
    def draw(x: float, y: float, size: float) -> list[Ink]:
        style = Style(_LETTER.size * size / 26, True)
        width = width_of(letter, style)
        text = DrawnText(x - width / 2, y + 0.36 * style.size, letter, style, INK, width)
        return [Disc(x, y, size / 2, PAPER, INK, LINE), text]

    return draw


def _converter_glyph(x: float, y: float, size: float) -> list[Ink]:
    """A square with a slanting line: alternating current above it, direct current below."""
    h = size / 2
    wave = tuple((x - h + 2.5 + k, y - h + 6 - 2 * math.sin(math.pi * k / 4)) for k in range(9))
    lines = [_line((x + 1.5, y + h - level), (x + h - 2.5, y + h - level), width=1.1) for level in (3.5, 6.5)]
    plate = Plate(x - h, y - h, size, size, 0, PAPER, INK, LINE)
    return [plate, _line((x - h, y + h), (x + h, y - h)), _line(*wave, width=1.1), *lines]


def _direct_converter_glyph(x: float, y: float, size: float) -> list[Ink]:
    """The same with direct current on both sides: another voltage comes out."""
    h = size / 2
    above = [_line((x - h + 2.5, y - h + level), (x - 1.5, y - h + level), width=1.1) for level in (3.5, 6.5)]
    below = [_line((x + 1.5, y + h - level), (x + h - 2.5, y + h - level), width=1.1) for level in (3.5, 6.5)]
    plate = Plate(x - h, y - h, size, size, 0, PAPER, INK, LINE)
    return [plate, _line((x - h, y + h), (x + h, y - h)), *above, *below]


def _heater_glyph(x: float, y: float, size: float) -> list[Ink]:
    w, h = size * 0.55, size
    bars = [_line((x - w / 2, y - h / 2 + h * k / 4), (x + w / 2, y - h / 2 + h * k / 4)) for k in (1, 2, 3)]
    return [Plate(x - w / 2, y - h / 2, w, h, 0, PAPER, INK, LINE), *bars]


def _solenoid_glyph(x: float, y: float, size: float) -> list[Ink]:
    w, h = size, size * 0.6
    plate = Plate(x - w / 2, y - h / 2, w, h, 0, PAPER, INK, LINE)
    return [plate, _line((x - w / 2, y + h / 2), (x + w / 2, y - h / 2))]


def _horn_glyph(x: float, y: float, size: float) -> list[Ink]:
    s = size / 2
    body = Plate(x - s, y - 0.5 * s, 0.6 * s, s, 0, PAPER, INK, LINE)
    bell = Outline(
        ((x - 0.4 * s, y - 0.4 * s), (x + s, y - 0.9 * s), (x + s, y + 0.9 * s), (x - 0.4 * s, y + 0.4 * s)),
        PAPER,
        INK,
        LINE,
    )
    return [bell, body]


def _battery_glyph(x: float, y: float, size: float) -> list[Ink]:
    half = size / 2
    gap = Plate(x - 2, y - 9, 4, 18, 0, PAPER)
    plates = [
        _line((x - half, y - 9), (x + half, y - 9)),
        _line((x - half / 2, y - 4), (x + half / 2, y - 4), width=3.2),
        _line((x - half, y + 3), (x + half, y + 3)),
        _line((x - half / 2, y + 8), (x + half / 2, y + 8), width=3.2),
    ]
    return [gap, *plates]


def _splice(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    middle = (top + bottom) / 2
    spread = body.frame.width - 8
    if spread <= 0:
        return [Disc(x, middle, 3.6, INK)]
    return [Stroke(((x - spread / 2, middle), (x + spread / 2, middle)), INK, 7.2, round_ends=True)]


def _terminal(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    middle, half = (top + bottom) / 2, max(0.0, body.frame.width - 8) / 2
    return [Plate(x - half - 3.8, middle - 3.8, 2 * half + 7.6, 7.6, 3.8, PAPER, INK, 1.6)]


def _cavity(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    """Plug and socket: a filled pin that enters a half circle."""
    middle = (top + bottom) / 2
    arc = tuple((x + 6 * math.cos(math.pi * k / 10), middle - 3 + 6 * math.sin(math.pi * k / 10)) for k in range(11))
    return [
        Plate(x - 1.9, top, 3.8, middle - top - 1, 0.5, INK),
        Stroke(arc, INK, 1.6),
        _line((x, middle + 3), (x, bottom)),
    ]


def _bar(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    return [Plate(x - body.frame.width / 2, top, body.frame.width, bottom - top, 1, "#3a3a3a")]


def _ground(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    ink: list[Ink] = [_line((x, top), (x, top + 6))]
    for number, half in enumerate((9.0, 6.0, 3.0)):
        y = top + 7 + 4.5 * number
        ink.append(_line((x - half, y), (x + half, y), width=2.0))
    return ink


def _open_end(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    middle = (top + bottom) / 2
    width = width_of("?", NAME)
    text = DrawnText(x - width / 2, middle + 3.2, "?", NAME, INK, width)
    return [Disc(x, middle, 8, PAPER, INK, 1.1, (2.4, 1.8)), text]


def _more(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    width = body.frame.width
    return [Plate(x - width / 2, top, width, bottom - top, (bottom - top) / 2.4, "#f3f3f3", SOFT_INK, 1.0, (2.5, 1.8))]


def _sheet_flag(x: float, top: float, bottom: float, body: Body) -> list[Ink]:
    half = body.frame.width / 2
    points = ((x - half, top), (x + half, top), (x + half, bottom - 6), (x, bottom), (x - half, bottom - 6))
    return [Outline(points, "#f3f3f3", INK, 1.0)]


def _gear(placed: PlacedPart) -> Iterator[Ink]:
    """The lines inside of switchgear, its contacts and coils."""
    gear = placed.body.gear
    assert gear is not None
    dx, dy = placed.x, placed.y
    row, middle = dy + gear.row, dy + gear.row + ROW / 2
    contacts = [dx + one.x for one in gear.elements if isinstance(one.what, DrawnContact)]
    coils = [dx + one.x for one in gear.elements if isinstance(one.what, DrawnCoil)]
    start = min(contacts, default=0.0) - 4
    for coil in sorted(coils) if contacts else ():
        yield Stroke(((start, middle), (coil - 11, middle)), INK, 0.9, (2.5, 2.0))
        start = coil + 11
    for line in gear.lines:
        yield Stroke(tuple((dx + x, dy + y) for x, y in line), INK, LINE)
    for x, y in gear.dots:
        yield Disc(dx + x, dy + y, 2.1, INK)
    for element in gear.elements:
        yield from _element(element, dx + element.x, row, middle)
    for x, y in gear.stubs:
        yield Plate(dx + x - 3, dy + y - 3, 6, 6, 0, INK)
    for x, y in gear.open_pins:
        yield Disc(dx + x, dy + y, 2.3, PAPER, INK, 1.0)


def _element(element: Element, x: float, row: float, middle: float) -> Iterator[Ink]:
    what = element.what
    if isinstance(what, DrawnContact):
        if what.closed_at_rest:
            yield _line((x - 1.5, row), (x + 5, row))
        tip = (x + 4, row - 3) if what.closed_at_rest else (x - 8, row + 1)
        yield _line((x, row + ROW), tip, width=1.6)
    elif isinstance(what, DrawnCoil):
        yield Plate(x - 11, middle - 7, 22, 14, 0, PAPER, INK, LINE)
        yield from _coil_mark(what.look, x, middle)
    elif what.kind is Kind.DIODE:
        down = 1 if element.upright else -1
        base, point = middle - 5 * down, middle + 5 * down
        yield from _leads(x, row, row + ROW, middle - 5, middle + 5)
        yield Outline(((x - 6, base), (x + 6, base), (x, point)), PAPER, INK, LINE)
        yield Stroke(((x - 6, point), (x + 6, point)), INK, 2.0)
    elif what.kind in _GLYPHS:
        yield from _GLYPHS[what.kind][0](x, middle, ROW)
    else:
        yield Plate(x - 5, row, 10, ROW, 0, PAPER, INK, LINE)


def _coil_mark(look: CoilLook, x: float, middle: float) -> Iterator[Ink]:
    """A pulse in the coil of a flasher, a black end on one that lets go late, a letter in those of a latching relay."""
    if look is CoilLook.FLASHES:
        up, down = middle - 3.5, middle + 3.5
        points = ((x - 7, down), (x - 3, down), (x - 3, up), (x + 3, up), (x + 3, down), (x + 7, down))
        yield _line(*points, width=1.1)
    elif look is CoilLook.HOLDS:
        yield Plate(x - 11, middle - 7, 6, 14, 0, INK)
    elif look is not CoilLook.PLAIN:
        letter = "S" if look is CoilLook.SET else "R"
        width = width_of(letter, _COIL_LETTER)
        yield DrawnText(x - width / 2, middle + 3.2, letter, _COIL_LETTER, INK, width)


Symbol = Callable[[float, float, float, Body], list[Ink]]
Glyph = Callable[[float, float, float], list[Ink]]

_GLYPHS: dict[Kind, tuple[Glyph, float]] = {
    Kind.LAMP: (_lamp_glyph, 20),
    Kind.MOTOR: (_letter_glyph("M"), 20),
    Kind.STARTER: (_letter_glyph("M"), 20),
    Kind.ALTERNATOR: (_letter_glyph("G"), 20),
    Kind.RECTIFIER: (_converter_glyph, 20),
    Kind.CHARGER: (_converter_glyph, 20),
    Kind.CONVERTER: (_direct_converter_glyph, 20),
    Kind.HEATER: (_heater_glyph, 20),
    Kind.SOLENOID: (_solenoid_glyph, 22),
    Kind.HORN: (_horn_glyph, 18),
    Kind.BATTERY: (_battery_glyph, 20),
}
_SYMBOLS: dict[Kind, Symbol] = {
    Kind.FUSE: _fuse,
    Kind.LINK: _link,
    Kind.BREAKER: _breaker,
    Kind.DIODE: _diode,
    Kind.RESISTOR: _resistor,
    Kind.LAMP: _on_leads(_lamp_glyph, 26, 13),
    Kind.MOTOR: _on_leads(_letter_glyph("M"), 28, 14),
    Kind.HEATER: _on_leads(_heater_glyph, 30, 15),
    Kind.SOLENOID: _on_leads(_solenoid_glyph, 28, 8.4),
    Kind.HORN: _on_leads(_horn_glyph, 24, 8),
    Kind.BATTERY: _on_leads(_battery_glyph, 26, 9),
    Kind.SPLICE: _splice,
    Kind.TERMINAL: _terminal,
    Kind.CAVITY: _cavity,
    Kind.BAR: _bar,
    Kind.GROUND: _ground,
    Kind.OPEN_END: _open_end,
    Kind.MORE: _more,
    Kind.TO_SHEET: _sheet_flag,
    Kind.FROM_SHEET: _sheet_flag,
}
