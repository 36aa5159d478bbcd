"""The outline of a part on paper: how large it is, where wires may land, and where its lettering stands.

A body's origin is its top left corner. Widths are even and lands whole numbers, so that straight chains stay straight.
"""

import math
from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import NamedTuple

from circuitmap.drawings.lettering.text_width import (
    DESCRIPTION,
    NAME,
    SMALL,
    TERMINAL,
    Style,
    lines_of,
    shorten,
    width_of,
)
from circuitmap.drawings.scene.palette import INK, MARK_WORDS, SOFT_INK
from circuitmap.drawings.scene.scene import DrawnCoil, DrawnContact, DrawnPart, DrawnWithin, Mark
from circuitmap.drawings.shapes.lands import Land
from circuitmap.wiring.parts import ANY_PIN, is_unnamed

LABEL_WIDTH = 96.0
WIDEST_PIN = 44.0
BADGE = 10.0
"""Width of the little shape before a mark's word."""


class Form(StrEnum):
    SYMBOL = "symbol"
    BOX = "box"
    GEAR = "gear"
    SMALL = "small"


class Lettering(NamedTuple):
    """One line of type; `x` is its left end or middle, `y` the baseline. `badge` marks the line of a mark's word."""

    x: float
    y: float
    text: str
    style: Style
    colour: str
    centred: bool = False
    badge: Mark = Mark.NONE


class Frame(NamedTuple):
    """The outline of a box, or the room of a symbol with its leads."""

    x: float
    y: float
    width: float
    height: float


class Element(NamedTuple):
    """What stands in the row of switchgear at `x`: a contact, a coil, a load or what lies across a coil. `upright`: its
    first pin is up."""

    x: float
    what: DrawnContact | DrawnCoil | DrawnWithin
    words: str = ""
    upright: bool = True

    @property
    def half(self) -> float:
        """How far it reaches above and below the middle of the row."""
        return 7.0 if isinstance(self.what, DrawnCoil) else 9.0


class Gear(NamedTuple):
    """What is inside of switchgear: the upper end of the row of contacts, the lines to it, the dots where lines of one
    net meet, the legs on the edge to which no wire comes, and where legs end that lead to nothing drawn."""

    row: float
    lines: tuple[tuple[tuple[float, float], ...], ...]
    dots: tuple[tuple[float, float], ...]
    elements: tuple[Element, ...]
    open_pins: tuple[tuple[float, float], ...]
    stubs: tuple[tuple[float, float], ...]


class Body(NamedTuple):
    """`lands` are (x, y) on the edge."""

    form: Form
    width: float
    height: float
    stem: float
    frame: Frame
    lands: Mapping[Land, tuple[float, float]]
    letters: tuple[Lettering, ...] = ()
    gear: Gear | None = None


def pin_label(pin: str) -> str:
    """The terminal number as it is drawn; a pin that nobody named is a question mark."""
    if is_unnamed(pin):
        return ANY_PIN
    return "" if pin.startswith("~") or not pin else shorten(pin, TERMINAL, WIDEST_PIN)


def label_of(part: DrawnPart, width: float = LABEL_WIDTH) -> list[tuple[str, Style, str, Mark]]:
    """The lines of a part's label: name, description, rating, place, note, and the word of its mark."""
    lines = [(shorten(part.name, NAME, 1.4 * width), NAME, INK, Mark.NONE)] if part.name else []
    for text, style, at_most in (
        (part.description, DESCRIPTION, 2),
        (part.rating, DESCRIPTION, 1),
        (part.place, SMALL, 2),
        (part.note, SMALL, 2),
    ):
        if text:
            lines += [(line, style, SOFT_INK, Mark.NONE) for line in lines_of(text, style, width, at_most)]
    if part.mark is not Mark.NONE:
        lines.append((part.mark.value, NAME, MARK_WORDS[part.mark], part.mark))
    return lines


def label_size(lines: Sequence[tuple[str, Style, str, Mark]]) -> tuple[float, float]:
    """Width and height of a label."""
    width = max((width_of(text, style) + (BADGE if mark else 0) for text, style, _, mark in lines), default=0.0)
    return width, sum(style.line for _, style, _, _ in lines)


def set_label(
    lines: Sequence[tuple[str, Style, str, Mark]], x: float, top: float, centred: bool = False
) -> list[Lettering]:
    """The lines of a label set from `top` down, starting at `x` or centred on it."""
    letters = []
    y = top
    for text, style, colour, mark in lines:
        y += style.line
        start = x
        if mark:
            start = x - (width_of(text, style) + BADGE) / 2 + BADGE if centred else x + BADGE
        letters.append(Lettering(start, y - 0.28 * style.size, text, style, colour, centred and not mark, mark))
    return letters


def even(width: float) -> int:
    """The next even whole number."""
    return 2 * math.ceil(width / 2)


def spread(lands: Sequence[Land], middle: float, y: float, step: int = 9) -> dict[Land, tuple[float, float]]:
    """The lands of one pin, side by side around its middle."""
    first = middle - step * (len(lands) - 1) / 2
    return {land: (round(first + step * number), y) for number, land in enumerate(lands)}
