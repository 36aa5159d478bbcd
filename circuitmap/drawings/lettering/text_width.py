"""How wide a text is, and how it is broken, shortened and cleaned before it is drawn.

Sizes are in points. Widths come from the font's own advance widths, without kerning, so a text is never wider than
measured; the ink pins each text to this width, whatever font the reader's machine has.
"""

import unicodedata
from functools import lru_cache
from typing import NamedTuple

from circuitmap.drawings.lettering.lato_widths import BOLD, REGULAR

LONGEST_LABEL = 240
"""How many characters of a name or description are ever drawn; anything longer ends in an ellipsis."""


class Style(NamedTuple):
    """Type size in points, and weight."""

    size: float
    bold: bool = False

    @property
    def line(self) -> float:
        """Height of a line of this type."""
        return self.size * 1.2


NAME, DESCRIPTION, SMALL, TERMINAL, TAG = Style(9, True), Style(8), Style(7.5), Style(7.5), Style(7.5)
RAIL_NAME, TITLE, SUBTITLE, LEGEND = Style(9, True), Style(14, True), Style(9), Style(8)
SMALLEST_TYPE = 7.5


def width_of(text: str, style: Style) -> float:
    """Width in points. A character that the font lacks counts as one em; combining and invisible ones as nothing."""
    return _thousandths(text, style.bold) * style.size / 1000


@lru_cache(maxsize=4096)
def _thousandths(text: str, bold: bool) -> int:
    table = BOLD if bold else REGULAR
    total = 0
    for character in text:
        width = table.get(ord(character))
        if width is None:
            width = 0 if unicodedata.category(character) in ("Mn", "Me", "Cf") else 1000
        total += width
    return total


def clean(text: str) -> str:
    """`text` as one line that any output can carry: no control, surrogate or direction characters, single blanks."""
    text = text.translate(_SAME_SIGN)
    if text.isascii() and text.isprintable() and "  " not in text:
        return text.strip()
    kept = []
    for character in text[: 4 * LONGEST_LABEL]:
        category = unicodedata.category(character)
        if category in ("Cc", "Zl", "Zp", "Zs"):
            kept.append(" ")
        elif category == "Cs" or ord(character) & 0xFFFE == 0xFFFE:
            kept.append("\N{REPLACEMENT CHARACTER}")
        elif category != "Cf":
            kept.append(character)
    return " ".join("".join(kept).split())


_SAME_SIGN = {0x3A9: "\N{OHM SIGN}", 0x3BC: "\N{MICRO SIGN}"}
"""Greek letters that stand for units, and the signs that the font has for them."""


def shorten(text: str, style: Style, width: float) -> str:
    """`text`, or as much of it as fits into `width` with an ellipsis."""
    text = clean(text)
    if len(text) <= LONGEST_LABEL and width_of(text, style) <= width:
        return text
    text = text[:LONGEST_LABEL]
    while text and width_of(text + "…", style) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def lines_of(text: str, style: Style, width: float, at_most: int) -> tuple[str, ...]:
    """`text` broken at blanks into at most a given number of lines no wider than `width`; the last may end in an
    ellipsis."""
    words = clean(text).split(" ")
    lines: list[str] = []
    while words and len(lines) < at_most - 1:
        line = words[0]
        taken = 1
        while taken < len(words) and width_of(f"{line} {words[taken]}", style) <= width:
            line = f"{line} {words[taken]}"
            taken += 1
        lines.append(shorten(line, style, width))
        words = words[taken:]
    if words:
        lines.append(shorten(" ".join(words), style, width))
    return tuple(line for line in lines if line)


def in_the_font(text: str) -> str:
    """`text` with a lozenge for every character that Lato lacks, for outputs that have no other font."""
    return "".join(c if ord(c) in REGULAR else "◊" for c in text)
