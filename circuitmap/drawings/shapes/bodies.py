"""The body of each kind of part, in one of four forms.

A symbol on the path with its label to the right; a box with pins on its edges; switchgear, which is a box with contacts
and a coil; and small things such as splices, grounds and stubs.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from circuitmap.drawings.lettering.text_width import DESCRIPTION, NAME, SMALL, TERMINAL, lines_of, shorten, width_of
from circuitmap.drawings.scene.palette import INK, SOFT_INK
from circuitmap.drawings.scene.scene import DrawnPart, Kind, Mark
from circuitmap.drawings.shapes.body import (
    Body,
    Form,
    Frame,
    Lettering,
    even,
    label_of,
    label_size,
    pin_label,
    set_label,
    spread,
)
from circuitmap.drawings.shapes.gear import gear_body
from circuitmap.drawings.shapes.lands import PINLESS, SYMBOL_LOADS, Land, LandSide
from circuitmap.drawings.shapes.levels import TWO_SIDED

_SYMBOL_SIZE = {
    Kind.FUSE: (13, 40),
    Kind.LINK: (13, 40),
    Kind.BREAKER: (20, 40),
    Kind.DIODE: (16, 34),
    Kind.RESISTOR: (12, 40),
    Kind.LAMP: (26, 46),
    Kind.MOTOR: (28, 48),
    Kind.HEATER: (16, 48),
    Kind.SOLENOID: (30, 38),
    Kind.HORN: (26, 42),
    Kind.BATTERY: (28, 38),
}
_SMALL_SIZE = {
    Kind.SPLICE: (8, 10),
    Kind.TERMINAL: (8, 10),
    Kind.CAVITY: (12, 16),
    Kind.BAR: (34, 9),
    Kind.GROUND: (20, 18),
    Kind.OPEN_END: (16, 16),
}
_GROUND_LETTER_GAP = 4.0
CORNER = 11.0
"""The least distance of a pin from the corner of its box."""


def form_of(part: DrawnPart, lands: Sequence[Land]) -> Form:
    """Which of the four forms a part is drawn in."""
    if part.kind in PINLESS or part.kind is Kind.GROUND:
        return Form.SMALL
    if part.contacts or part.coils or part.joined:
        return Form.GEAR
    by_side = [{land.pin for land in lands if land.side is side} for side in LandSide]
    if part.kind in TWO_SIDED | SYMBOL_LOADS and all(len(pins) < 2 for pins in by_side):
        return Form.SYMBOL
    return Form.BOX


def body_of(
    part: DrawnPart, lands: Sequence[Land], tag_widths: Mapping[Land, float], xs: Mapping[Land, float] | None = None
) -> Body:
    """The body of a part. The order of `lands` is the order of the pins of a box along each side; `xs` are their
    places, if they are not to be spread evenly."""
    form = form_of(part, lands)
    if form is Form.SYMBOL:
        return _symbol_body(part, lands)
    if form is Form.GEAR:
        return gear_body(part, lands)
    if form is Form.BOX:
        return _box_body(part, lands, tag_widths, xs or {})
    return _small_body(part, lands)


def _symbol_body(part: DrawnPart, lands: Sequence[Land]) -> Body:
    width, height = _SYMBOL_SIZE.get(part.kind, (16, 40))
    lines = label_of(part)
    label_width, label_height = label_size(lines)
    plain = part.kind in TWO_SIDED
    pin_names = [] if plain else [pin_label(pin) for pin in part.pins]
    before = max((width_of(pin, TERMINAL) for pin in pin_names), default=0.0) + 3
    crowded = max(_looks(lands, side) for side in LandSide) > 1
    reach = max(width, 9 * max(_looks(lands, side) for side in LandSide)) / 2
    # A pin's name stands beside its lead, or beside all of them where several wires share the pin.
    beside = reach + 1 if crowded else 3.0
    stem = math.ceil(max(reach, beside + before - 3) if pin_names else reach)
    label_x = stem + reach + 8
    total_height = math.ceil(max(height, label_height))
    top = round((total_height - height) / 2)
    letters = set_label(lines, label_x, (total_height - label_height) / 2)
    upper, lower = _upper_and_lower(part, lands)
    if not plain:
        for pin, y in ((upper, top + 6), (lower, top + height - 0.5)):
            text = pin_label(pin)
            if text:
                text_width = width_of(text, TERMINAL)
                letters.append(Lettering(stem - beside - text_width, y, text, TERMINAL, SOFT_INK))
    places = spread([land for land in lands if land.side is LandSide.TOP], stem, top)
    places |= spread([land for land in lands if land.side is LandSide.BOTTOM], stem, top + height)
    frame = Frame(stem - width / 2, top, width, height)
    full = even(max(label_x + label_width if lines else 0, stem + width / 2) + 2)
    return Body(Form.SYMBOL, full, total_height, stem, frame, places, tuple(letters))


def _looks(lands: Sequence[Land], side: LandSide) -> int:
    return sum(land.side is side for land in lands)


def _upper_and_lower(part: DrawnPart, lands: Sequence[Land]) -> tuple[str, str]:
    """Names of the pin above and the pin below; a pin without a wire takes the side that is free."""
    upper = next((land.pin for land in lands if land.side is LandSide.TOP), "")
    lower = next((land.pin for land in lands if land.side is LandSide.BOTTOM), "")
    rest = [pin for pin in part.pins if pin not in (upper, lower)]
    if not upper and rest:
        upper = rest.pop(0)
    if not lower and rest:
        lower = rest.pop(0)
    return upper, lower


def _box_body(
    part: DrawnPart, lands: Sequence[Land], tag_widths: Mapping[Land, float], xs: Mapping[Land, float]
) -> Body:
    lines = label_of(part, 104.0)
    label_width, label_height = label_size(lines)
    sides = {side: [land for land in lands if land.side is side] for side in LandSide}
    pitches = {side: pitches_of(sides[side], tag_widths) for side in LandSide}
    needed = [sum(pitches[side]) + 2 * corner_of(sides[side]) for side in LandSide]
    symbol = 24 if _has_glyph(part.kind) else 0
    width = even(max(label_width + 14, 56, *needed))
    top = 13 if sides[LandSide.TOP] else 4
    bottom = 13 if sides[LandSide.BOTTOM] else 4
    height = math.ceil(max(label_height + symbol + top + bottom, 34))
    places: dict[Land, tuple[float, float]] = {}
    letters = set_label(lines, width / 2, top + symbol + (height - top - bottom - symbol - label_height) / 2, True)
    for side, found in sides.items():
        y = 0 if side is LandSide.TOP else height
        for land, x in zip(found, _evenly(pitches[side], len(found), width, corner_of(found)), strict=True):
            places[land] = (xs.get(land, x), y)
        for pin in dict.fromkeys(land.pin for land in found):
            pin_xs = [places[land][0] for land in found if land.pin == pin]
            text = pin_label(pin)
            if text:
                half = width_of(text, TERMINAL) / 2
                middle = min(max(sum(pin_xs) / len(pin_xs), half + 2), width - half - 2)
                letters.append(
                    Lettering(middle, 9.5 if side is LandSide.TOP else height - 4, text, TERMINAL, SOFT_INK, True)
                )
    return Body(Form.BOX, width, height, width / 2, Frame(0, 0, width, height), places, tuple(letters))


def _evenly(pitches: Sequence[float], count: int, width: float, corner: float) -> list[float]:
    """Places of pins with at least these pitches, spread over the width as far as 64 points apart."""
    roomy = [max(pitch, min(width / count, 64.0)) for pitch in pitches]
    spare = width - 2 * corner
    if sum(roomy) > spare:
        roomy = [pitch + max(0.0, spare - sum(pitches)) / len(pitches) for pitch in pitches]
    at = (width - sum(roomy)) / 2
    places = [at]
    for pitch in roomy:
        at += pitch
        places.append(at)
    return [float(round(x)) for x in places[:count]]


def _has_glyph(kind: Kind) -> bool:
    return kind in (
        Kind.LAMP,
        Kind.MOTOR,
        Kind.STARTER,
        Kind.ALTERNATOR,
        Kind.RECTIFIER,
        Kind.CHARGER,
        Kind.CONVERTER,
        Kind.HEATER,
        Kind.HORN,
        Kind.SOLENOID,
        Kind.BATTERY,
    )


def corner_of(lands: Sequence[Land]) -> float:
    """The least distance of the outermost pins from the corners of their box, so that their numbers stay inside."""
    outermost = (lands[0], lands[-1]) if lands else ()
    return max([CORNER, *(math.ceil(width_of(pin_label(land.pin), TERMINAL) / 2 + 3) for land in outermost)])


def pitches_of(lands: Sequence[Land], tag_widths: Mapping[Land, float]) -> list[float]:
    """The least distance of every two neighbouring pins: tags stand side by side if there are two, else staggered."""
    pitches = []
    for one, two in pairwise(lands):
        if one.pin == two.pin:
            pitches.append(9.0)
            continue
        tags = [tag_widths.get(land, 0.0) for land in (one, two)]
        names = [width_of(pin_label(land.pin), TERMINAL) for land in (one, two)]
        by_tag = sum(tags) / 2 + 4 if len(lands) == 2 else max(tags) / 2 + 6
        pitches.append(float(math.ceil(max(by_tag, sum(names) / 2 + 5, 18))))
    return pitches


def _small_body(part: DrawnPart, lands: Sequence[Land]) -> Body:
    if part.kind in (Kind.MORE, Kind.TO_SHEET, Kind.FROM_SHEET):
        return _flag_body(part, lands)
    width, height = _SMALL_SIZE[part.kind]
    top = [land for land in lands if land.side is LandSide.TOP]
    bottom = [land for land in lands if land.side is LandSide.BOTTOM]
    widest = max(len(top), len(bottom), 1)
    symbol_width = max(width, 9 * (widest - 1) + width)
    stem = math.ceil(symbol_width / 2)
    if part.kind is Kind.GROUND:
        return _ground_body(part, lands, symbol_width, height)
    lines = label_of(part, 84.0)
    if part.kind in (Kind.SPLICE, Kind.CAVITY, Kind.TERMINAL):
        lines = [(text, DESCRIPTION if style is NAME else style, colour, mark) for text, style, colour, mark in lines]
    label_width, label_height = label_size(lines)
    total = math.ceil(max(height, label_height))
    y = round((total - height) / 2)
    meeting = part.kind in (Kind.SPLICE, Kind.TERMINAL)
    places = spread(top, stem, y + height / 2 if meeting else y)
    places |= spread(bottom, stem, y + height / 2 if meeting else y + height)
    letters = set_label(lines, 2 * stem + 4, (total - label_height) / 2)
    full = even(2 * stem + (4 + label_width + 2 if lines else 0))
    return Body(
        Form.SMALL, full, total, stem, Frame(stem - symbol_width / 2, y, symbol_width, height), places, tuple(letters)
    )


def _ground_body(part: DrawnPart, lands: Sequence[Land], width: float, height: float) -> Body:
    text = shorten(part.name, DESCRIPTION, 60.0)
    full = even(max(width, width_of(text, DESCRIPTION) + 4))
    letters = (Lettering(full / 2, height + _GROUND_LETTER_GAP + 6, text, DESCRIPTION, INK, True),)
    frame = Frame(full / 2 - width / 2, 0, width, height)
    return Body(Form.SMALL, full, height + 13, full / 2, frame, spread(lands, full / 2, 0), letters)


def _flag_body(part: DrawnPart, lands: Sequence[Land]) -> Body:
    lines = [(text, DESCRIPTION, INK, Mark.NONE) for text in lines_of(part.name, DESCRIPTION, 76.0, 2)]
    if part.description:
        lines += [(text, SMALL, SOFT_INK, Mark.NONE) for text in lines_of(part.description, SMALL, 76.0, 2)]
    label_width, label_height = label_size(lines)
    point = 6 if part.kind in (Kind.TO_SHEET, Kind.FROM_SHEET) else 0
    width = even(max(label_width + 14, 9.0 * len(lands) + 8))
    height = math.ceil(label_height + 6 + point)
    letters = set_label(lines, width / 2, 3, True)
    places = spread([land for land in lands if land.side is LandSide.TOP], width / 2, 0)
    places |= spread([land for land in lands if land.side is LandSide.BOTTOM], width / 2, height)
    return Body(Form.SMALL, width, height, width / 2, Frame(0, 0, width, height), places, tuple(letters))
