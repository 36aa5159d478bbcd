"""Bodies of switchgear: relays, switches and the key, drawn as a box with contacts and a coil inside.

Each contact is a column from a pin at the top to a pin at the bottom. If both wires of a contact come from the same
side, its far end is bent back inside the box, so that no wire has to loop around the part.
"""

import math
from collections import Counter
from collections.abc import Sequence

from circuitmap.drawings.lettering.text_width import SMALL, TERMINAL, shorten, width_of
from circuitmap.drawings.scene.palette import SOFT_INK
from circuitmap.drawings.scene.scene import DrawnPart
from circuitmap.drawings.shapes.body import (
    Body,
    Column,
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
from circuitmap.drawings.shapes.lands import Land, LandSide

HEIGHT = 68
UPPER_BUS, LOWER_BUS = 15.0, 53.0
"""The distance from the top of the box to the lines that join contacts with a common pin."""
_WORDS_WIDTH = 62.0
_BEND = 13.0


def gear_body(part: DrawnPart, lands: Sequence[Land]) -> Body:
    """The body of a relay or switch."""
    sides = {land.pin: land.side for land in lands}
    columns, width = _columns(part, sides, Counter(land.pin for land in lands))
    leads = _leads(columns, sides)
    spare = [pin for pin in part.pins if pin not in leads and pin in sides]
    for pin in spare:
        leads[pin] = (width + 4, sides[pin])
        width += math.ceil(16 + width_of(pin_label(pin), TERMINAL))
    lines = label_of(part)
    label_width, label_height = label_size(lines)
    total = math.ceil(max(HEIGHT, label_height))
    top = round((total - HEIGHT) / 2)
    letters = set_label(lines, width + 6, (total - label_height) / 2)
    places: dict[Land, tuple[float, float]] = {}
    for pin, (x, side) in leads.items():
        y = top + (9.0 if side is LandSide.TOP else HEIGHT - 3.5)
        if pin_label(pin):
            letters.append(Lettering(x + 3, y, pin_label(pin), TERMINAL, SOFT_INK))
        here = [land for land in lands if land.pin == pin]
        places |= spread(here, x, top if side is LandSide.TOP else top + HEIGHT)
    for column in columns:
        if column.words:
            words = shorten(column.words, SMALL, _WORDS_WIDTH)
            letters.append(Lettering(column.x + 5, top + 37, words, SMALL, SOFT_INK))
    full = even(width + (6 + label_width + 2 if lines else 0))
    frame = Frame(0, top, width, HEIGHT)
    return Body(Form.GEAR, full, total, leads_middle(columns), frame, places, tuple(letters), tuple(columns), leads)


def leads_middle(columns: Sequence[Column]) -> float:
    return columns[0].x if columns else 10.0


def _columns(part: DrawnPart, sides: dict[str, LandSide], crowd: Counter[str]) -> tuple[list[Column], float]:
    columns: list[Column] = []
    x = 16.0
    for contact in part.contacts:
        held = sides.get(contact.common, LandSide.TOP)
        far = sides.get(contact.other, LandSide.BOTTOM if held is LandSide.TOP else LandSide.TOP)
        upper, lower = (contact.common, contact.other) if held is LandSide.TOP else (contact.other, contact.common)
        words_width = width_of(shorten(contact.words, SMALL, _WORDS_WIDTH), SMALL) if contact.words else 0.0
        need = max(words_width + 8, 6 + max(width_of(pin_label(pin), TERMINAL) for pin in (upper, lower)), 14)
        several = 9 * max(0, crowd[upper] - 1, crowd[lower] - 1)
        x += several / 2
        need += several
        bent = contact.other if far is held else ""
        bend_x = x + need + 2 if bent else 0.0
        columns.append(Column(x, upper, lower, False, contact.closed_at_rest, contact.words, bend_x, bent))
        x = math.ceil(x + need + (_BEND + 14 if bent else 0) + 16)
    if part.coil:
        plus = sides.get(part.coil.plus)
        minus = sides.get(part.coil.minus)
        plus = plus or (LandSide.TOP if minus is not LandSide.TOP else LandSide.BOTTOM)
        minus = minus or (LandSide.BOTTOM if plus is not LandSide.BOTTOM else LandSide.TOP)
        upper, lower, bent = part.coil.plus, part.coil.minus, ""
        if plus is LandSide.BOTTOM and minus is LandSide.TOP:
            upper, lower = lower, upper
        elif plus is minus:
            bent = part.coil.minus if plus is LandSide.TOP else part.coil.plus
        several = 9 * max(0, crowd[upper] - 1, crowd[lower] - 1)
        x += 4 + several / 2
        columns.append(Column(x, upper, lower, True, bend_x=x + 20 + several if bent else 0.0, bent=bent))
        x = math.ceil(x + (_BEND + 12 + several if bent else 0) + 26 + several / 2)
    return columns, math.ceil(x - 6)


def _leads(columns: Sequence[Column], sides: dict[str, LandSide]) -> dict[str, tuple[float, LandSide]]:
    """Where each pin stands on the box: above its column, above the middle of its columns, or above its bend."""
    found: dict[str, tuple[list[float], LandSide]] = {}
    for column in columns:
        for pin, side in ((column.upper, LandSide.TOP), (column.lower, LandSide.BOTTOM)):
            if pin == column.bent:
                found.setdefault(pin, ([], sides[pin]))[0].append(column.bend_x)
            else:
                found.setdefault(pin, ([], side))[0].append(column.x)
    # A bend may come up between the columns: then a common pin stands above its first column, not above their middle.
    bent = any(column.bent for column in columns)
    return {pin: (round(xs[0] if bent else sum(xs) / len(xs)), side) for pin, (xs, side) in found.items()}
