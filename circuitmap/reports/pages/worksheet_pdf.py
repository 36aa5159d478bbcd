"""The worksheet as PDF: A4 upright, for a clipboard."""

import logging
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from circuitmap.reports.pages.ruled_rows import RuledRows, Side, Style
from circuitmap.reports.pages.worksheet import CURRENTS, BoxPage, Worksheet, WorksheetRow, drop_words, hanging_words

if TYPE_CHECKING:
    from fpdf import FPDF

_MARGIN, _TEXT = 10.0, 8.0
_WIDTHS = (15, 21, 62, 11, 11, 12, 13, 17, 15, 13)
"""Millimetres: fuse, size, what hangs on it, three drops, what 0.0 hides, reading, total, time: 190 in all."""

SAME_DATE = datetime(2000, 1, 1, tzinfo=UTC)
"""The format requires a date; the real one would make every copy differ."""

_HEADS = ("Fuse", "Size", "Hangs on it: fed how", *(f"mV at\n{c * 1000:.0f} mA" for c in CURRENTS), "0.0 hides")
_BLANKS = ("Reading", "Total", "Time")
_SIDES: tuple[Side, ...] = ("L", "L", "L", "R", "R", "R", "R", "L", "L", "L")
_STYLES: tuple[Style, ...] = ("B", "", "", "", "", "", "", "", "", "")


_WRITTEN = (("Locked at", 22.0), ("Meter", 42.0), ("Zero", 18.0), ("Steps", 18.0))


def worksheet_pdf(worksheet: Worksheet) -> bytes:
    """The same worksheet gives the same bytes."""
    pdf = sheet_paper(worksheet.title, f"Fuses of {worksheet.title}", _WRITTEN, "Fuse by fuse, parked.")
    care_on(pdf, worksheet.cautions)
    for box in worksheet.boxes:
        _box(pdf, box)
    notes_on(pdf, worksheet.notes)
    return bytes(pdf.output())


def font_file(weight: str) -> Path:
    import font_lato

    return Path(font_lato.font_directory) / f"Lato-{weight}.ttf"


def sheet_paper(title: str, called: str, blanks: Sequence[tuple[str, float]], about: str) -> "FPDF":
    """Paper for a clipboard with its head: the title, what it is about, and lines to write on, so many millimetres
    long. `called` is the title of the file."""
    from fpdf import FPDF

    logging.getLogger("fpdf").setLevel(logging.ERROR)  # letters that the font lacks become boxes, not messages

    class SheetPaper(FPDF):
        def footer(self) -> None:
            self.set_y(-9)
            self.set_font("Lato", size=7)
            self.cell(0, 4, title, align="L")
            self.set_x(self.l_margin)
            self.cell(0, 4, f"page {self.page_no()} of {{nb}}", align="R")

    pdf = SheetPaper(format="A4")
    pdf.set_creation_date(SAME_DATE)
    pdf.set_title(called)
    pdf.set_creator("circuitmap")
    pdf.set_lang("en")
    for style, weight in (("", "Regular"), ("B", "Bold")):
        pdf.add_font("Lato", style, font_file(weight))
    pdf.set_margin(_MARGIN)
    pdf.set_auto_page_break(True, margin=12)
    pdf.add_page()
    pdf.set_font("Lato", "B", 13)
    pdf.cell(0, 6, title, new_x="LMARGIN", new_y="NEXT")
    pdf.set_font("Lato", size=9)
    pdf.multi_cell(0, 5, about, align="L", new_x="LMARGIN", new_y="NEXT")
    for label, room in blanks:
        pdf.cell(pdf.get_string_width(label) + 2, 8, label)
        pdf.cell(room, 6, "", border="B")
        pdf.cell(3, 8, "")
    pdf.ln(10)
    return pdf


def care_on(pdf: "FPDF", cautions: Sequence[str]) -> None:
    """What to take care of, below its bar."""
    pdf.set_font("Lato", "B", _TEXT)
    pdf.set_fill_color(235)
    pdf.cell(0, 5, "CARE", fill=True, new_x="LMARGIN", new_y="NEXT")
    pdf.set_fill_color(255)
    pdf.set_font("Lato", size=_TEXT)
    for caution in cautions:
        pdf.cell(3, 4, "\N{BULLET}")
        pdf.multi_cell(0, 4, caution, align="L", new_x="LMARGIN", new_y="NEXT")
    pdf.ln(2)


def _box(pdf: "FPDF", box: BoxPage) -> None:
    if pdf.will_page_break(30):
        pdf.add_page()
    pdf.set_font("Lato", "B", 10)
    about = ", ".join(word for word in (box.name or "Not in a box", box.description, box.place) if word)
    pdf.multi_cell(0, 6, about, new_x="LMARGIN", new_y="NEXT")
    pdf.set_font("Lato", size=_TEXT)
    rows = RuledRows(pdf, _WIDTHS, (*_HEADS, *_BLANKS))
    for row in box.rows:
        rows.row(_cells(row), _SIDES, _STYLES)
    pdf.ln(3)


def _cells(row: WorksheetRow) -> tuple[str, ...]:
    drops = drop_words(row.drop) if row.is_read else [""] * (len(CURRENTS) + 1)
    blanks = ["\n" if row.is_read else ""] * len(_BLANKS)
    return (row.fuse.name.rpartition(".")[2], row.size, "\n".join(hanging_words(row)), *drops, *blanks)


def notes_on(pdf: "FPDF", notes: Sequence[str]) -> None:
    """The notes, in small type."""
    pdf.set_font("Lato", size=7)
    for note in notes:
        pdf.multi_cell(0, 3.6, note, align="L", new_x="LMARGIN", new_y="NEXT")
