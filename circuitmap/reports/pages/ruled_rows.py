"""Ruled rows on paper, their heads repeated on every page."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from fpdf import FPDF

_LINE, _PADDING = 3.8, 0.8
"""Millimetres."""

_BASELINE = 0.3
"""How far below the middle of a line its letters stand, in heights of the font (the library's own for a cell)."""

Side = Literal["L", "C", "R"]
_INDENTED: Mapping[Side, float] = {"L": 0.0, "C": 0.5, "R": 1.0}
"""How much of what a line leaves free stands before it."""
Style = Literal["", "B"]


class RuledRows:
    """A table in the font that is set, its columns so many millimetres wide. Words are measured once and lines broken
    here: the library's own table measures each letter several times, which for hundreds of fuses takes many seconds."""

    def __init__(self, pdf: "FPDF", widths: Sequence[float], heads: Sequence[str]) -> None:
        self._pdf, self._widths, self._heads = pdf, widths, heads
        self._size = pdf.font_size_pt
        self._known: dict[tuple[Style, str], float] = {}
        self._draw_heads()

    def row(self, cells: Sequence[str], sides: Sequence[Side], styles: Sequence[Style]) -> None:
        """One row, on a new page where it does not fit on this one."""
        lines = self._lines(cells, styles)
        if self._pdf.will_page_break(_height(lines)):
            self._pdf.add_page()
            self._draw_heads()
        self._draw(lines, sides, styles)

    def _draw_heads(self) -> None:
        styles: Sequence[Style] = ["B"] * len(self._heads)
        self._draw(self._lines(self._heads, styles), ["C"] * len(self._heads), styles)

    def _lines(self, cells: Sequence[str], styles: Sequence[Style]) -> list[list[str]]:
        rooms = (width - 2 * _PADDING for width in self._widths)
        return [self._broken(*its) for its in zip(cells, rooms, styles, strict=True)]

    def _draw(self, row: Sequence[Sequence[str]], sides: Sequence[Side], styles: Sequence[Style]) -> None:
        """A row of cells, each the lines in it."""
        pdf = self._pdf
        x, top, height = pdf.l_margin, pdf.get_y(), _height(row)
        for lines, width, side, style in zip(row, self._widths, sides, styles, strict=True):
            pdf.rect(x, top, width, height)
            room = width - 2 * _PADDING
            free = [room - self._width(line, style) if side != "L" else 0.0 for line in lines]
            if any(lines):
                pdf.set_font(style=style, size=self._size)
            y = top + (height - len(lines) * _LINE) / 2 + _LINE / 2 + _BASELINE * pdf.font_size
            for line, left in zip(lines, free, strict=True):
                if line:
                    pdf.text(x + _PADDING + _INDENTED[side] * left, y, line)
                y += _LINE
            x += width
        pdf.set_font(style="", size=self._size)
        pdf.set_xy(pdf.l_margin, top + height)

    def _broken(self, text: str, room: float, style: Style) -> list[str]:
        """The text in lines that fit, broken between words, and inside of one that is longer than a line."""
        lines = []
        blank = self._width(" ", style)
        for paragraph in text.split("\n"):
            line, used = "", 0.0
            for word in paragraph.split(" "):
                width = self._width(word, style)
                if line and used + blank + width > room:
                    lines.append(line)
                    line, used = "", 0.0
                while width > room:
                    fitting = self._start_that_fits(word, room, style)
                    lines.append(word[:fitting])
                    word = word[fitting:]
                    width = self._width(word, style)
                line, used = (f"{line} {word}", used + blank + width) if line else (word, width)
            lines.append(line)
        return lines

    def _start_that_fits(self, word: str, room: float, style: Style) -> int:
        used = 0.0
        for number, letter in enumerate(word):
            used += self._width(letter, style)
            if used > room:
                return max(1, number)
        return len(word)

    def _width(self, text: str, style: Style) -> float:
        key = style, text
        if key not in self._known:
            self._pdf.set_font(style=style, size=self._size)
            self._known[key] = self._pdf.get_string_width(text)
        return self._known[key]


def _height(row: Sequence[Sequence[str]]) -> float:
    """How high a row of cells is, in millimetres."""
    return max(map(len, row)) * _LINE + 2 * _PADDING
