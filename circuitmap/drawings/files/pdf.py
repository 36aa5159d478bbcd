"""Pictures as PDF, one page each, with the font embedded. Nothing is drawn below 7 pt if the picture fits a page."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from circuitmap.drawings.files.sheets import A4, PAPERS, page_scale
from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, Outline, Picture, Plate, Stroke
from circuitmap.drawings.lettering.font_table import font_file
from circuitmap.drawings.lettering.text_width import in_the_font

if TYPE_CHECKING:
    from fpdf import FPDF

_FIXED_DATE = datetime(2000, 1, 1, tzinfo=UTC)
"""Written as the date in every file, so that the same drawing gives the same bytes."""


def pdf_of(pictures: Sequence[Picture]) -> bytes:
    """PDF bytes, with one page for each picture."""
    from fpdf import FPDF

    pdf = FPDF(unit="pt", format=A4)
    pdf.set_creation_date(_FIXED_DATE)
    pdf.set_title(in_the_font(pictures[0].title) if pictures else "")
    pdf.set_auto_page_break(False)
    pdf.add_font("Lato", "", str(font_file("Regular")))
    pdf.add_font("Lato", "B", str(font_file("Bold")))
    for picture in pictures:
        across, scale = page_scale(picture)
        pdf.add_page(orientation="L" if across else "P", format=PAPERS[picture.paper])
        left = (pdf.w - picture.width * scale) / 2
        for ink in picture.ink:
            _draw(pdf, ink, scale, left)
    return bytes(pdf.output())


def _draw(pdf: "FPDF", ink: Ink, scale: float, left: float) -> None:
    def at(x: float, y: float) -> tuple[float, float]:
        return x * scale + left, y * scale

    match ink:
        case Stroke():
            _pen(pdf, ink.colour, ink.width * scale, ink.dash, scale)
            pdf._out("1 J" if ink.round_ends else "0 J")
            pdf.polyline([at(x, y) for x, y in ink.points])
        case Outline():
            pdf.polygon(
                [at(x, y) for x, y in ink.points], style=_styled(pdf, ink.fill, ink.colour, ink.width, ink.dash, scale)
            )
        case Plate():
            x, y = at(ink.x, ink.y)
            style = _styled(pdf, ink.fill, ink.colour, ink.line, ink.dash, scale)
            radius = min(ink.radius, ink.width / 2, ink.height / 2) * scale
            pdf.rect(
                x, y, ink.width * scale, ink.height * scale, style=style, round_corners=radius > 0, corner_radius=radius
            )
        case Disc():
            x, y = at(ink.x, ink.y)
            pdf.circle(x, y, ink.radius * scale, style=_styled(pdf, ink.fill, ink.colour, ink.line, ink.dash, scale))
        case DrawnText():
            x, y = at(ink.x, ink.y)
            pdf.set_font("Lato", "B" if ink.style.bold else "", ink.style.size * scale)
            pdf.set_text_color(*_rgb(ink.colour))
            if ink.upright:
                with pdf.rotation(90, x, y):
                    pdf.text(x, y, in_the_font(ink.text))
            else:
                pdf.text(x, y, in_the_font(ink.text))


def _styled(pdf: "FPDF", fill: str, colour: str, width: float, dash: tuple[float, ...], scale: float) -> str:
    if fill:
        pdf.set_fill_color(*_rgb(fill))
    if colour:
        _pen(pdf, colour, width * scale, dash, scale)
    return ("D" if colour else "") + ("F" if fill else "")


def _pen(pdf: "FPDF", colour: str, width: float, dash: tuple[float, ...], scale: float) -> None:
    pdf.set_draw_color(*_rgb(colour))
    pdf.set_line_width(width)
    if dash:
        pdf.set_dash_pattern(dash=dash[0] * scale, gap=dash[1] * scale)
    else:
        pdf.set_dash_pattern()


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
