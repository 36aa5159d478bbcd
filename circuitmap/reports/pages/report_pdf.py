"""The report as PDF on A4, without system packages: the customer's page, then the record."""

import logging
from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from circuitmap.reports.pages.page import shown
from circuitmap.reports.pages.report import Bar, Report, ReportNight, ReportPhoto, ReportSection
from circuitmap.reports.pages.worksheet_pdf import SAME_DATE, font_file

if TYPE_CHECKING:
    from fpdf import FPDF

_MARGIN = 15.0


def report_pdf(report: Report, pictures: Sequence[bytes] = ()) -> bytes:
    """`pictures` are PNG files of the drawing. The same report gives the same bytes."""
    pdf = _empty(report)
    pdf.add_page()
    _title(pdf, report.vehicle, f"Job {report.job}" if report.job else "")
    pdf.set_font("Lato", "B", 11)
    pdf.set_fill_color(238)
    pdf.multi_cell(0, 6, shown(report.verdict), fill=True, align="L", padding=2, new_x="LMARGIN", new_y="NEXT")
    for sentence in report.not_complete:
        pdf.ln(1)
        pdf.multi_cell(
            0, 5, shown(f"Not complete. {sentence}"), border=1, align="L", padding=2, new_x="LMARGIN", new_y="NEXT"
        )
    _figures(pdf, report)
    _sections(pdf, report.customer)
    for picture in pictures:
        pdf.add_page()
        _heading(pdf, "The picture")
        _paragraph(pdf, report.drawing_words)
        _picture(pdf, picture)
    pdf.add_page()
    _title(pdf, "Record for the technician", "")
    _bars(pdf, report.bars)
    _sections(pdf, report.record)
    _entries(pdf, report)
    for night in report.nights:
        _night(pdf, night)
    for photo in report.photos:
        _photo(pdf, report, photo)
    return bytes(pdf.output())


def _night(pdf: "FPDF", night: ReportNight) -> None:
    pdf.add_page()
    _heading(pdf, f"The night of entry {night.number}: {night.file}")
    if night.png:
        pdf.image(BytesIO(night.png), x=pdf.l_margin, w=pdf.epw)
        pdf.ln(2)
        for sentence in night.words:
            _paragraph(pdf, sentence)
    else:
        _paragraph(pdf, night.why)


def _empty(report: Report) -> "FPDF":
    from fpdf import FPDF

    logging.getLogger("fpdf").setLevel(logging.ERROR)  # letters that the font lacks become boxes, not messages

    class ReportPaper(FPDF):
        def footer(self) -> None:
            self.set_y(-11)
            self.set_font("Lato", size=8)
            self.cell(0, 4, shown(report.title), align="L")
            self.set_x(self.l_margin)
            self.cell(0, 4, f"page {self.page_no()} of {{nb}}", align="R")

    pdf = ReportPaper(format="A4")
    pdf.set_creation_date(SAME_DATE)
    pdf.set_title(shown(report.title))
    pdf.set_creator("circuitmap")
    pdf.set_lang("en")
    for style, weight in (("", "Regular"), ("B", "Bold")):
        pdf.add_font("Lato", style, font_file(weight))
    pdf.set_margin(_MARGIN)
    pdf.set_auto_page_break(True, margin=_MARGIN)
    return pdf


def _title(pdf: "FPDF", text: str, below: str) -> None:
    pdf.set_font("Lato", "B", 16)
    pdf.multi_cell(0, 8, shown(text), align="L", new_x="LMARGIN", new_y="NEXT")
    if below:
        _paragraph(pdf, below)
    pdf.ln(2)


def _heading(pdf: "FPDF", text: str) -> None:
    if pdf.get_y() > pdf.eph + pdf.t_margin - 18:
        pdf.add_page()
    pdf.ln(2)
    pdf.set_font("Lato", "B", 11)
    pdf.multi_cell(0, 6, shown(text), align="L", new_x="LMARGIN", new_y="NEXT")


def _paragraph(pdf: "FPDF", text: str) -> None:
    pdf.set_font("Lato", size=10)
    pdf.multi_cell(0, 5, shown(text), align="L", new_x="LMARGIN", new_y="NEXT")


def _sections(pdf: "FPDF", sections: Sequence[ReportSection]) -> None:
    for section in sections:
        _heading(pdf, section.heading)
        pdf.set_font("Lato", size=10)
        for sentence in section.sentences:
            if len(section.sentences) > 1:
                pdf.cell(4, 5, "\N{BULLET}")
            pdf.multi_cell(0, 5, shown(sentence), align="L", new_x="LMARGIN", new_y="NEXT")


def _figures(pdf: "FPDF", report: Report) -> None:
    for one in report.figures:
        pdf.ln(3)
        top = pdf.get_y()
        for number, (label, value) in enumerate(one.labelled):
            left = pdf.l_margin + number * 62
            pdf.rect(left, top, 58, 17)
            pdf.set_xy(left + 2, top + 1.5)
            pdf.set_font("Lato", size=9)
            pdf.cell(54, 5, shown(label))
            pdf.set_xy(left + 2, top + 7)
            pdf.set_font("Lato", "B", 17)
            pdf.cell(54, 8, shown(value))
        pdf.set_xy(pdf.l_margin, top + 19)


def _bars(pdf: "FPDF", bars: Sequence[Bar]) -> None:
    """Before and after: a full bar and an empty one, each with its figure."""
    known = [(bar, bar.before, bar.after) for bar in bars]
    pairs = [(bar, before, after) for bar, before, after in known if before is not None and after is not None]
    if not pairs:
        return
    _heading(pdf, "With it in, and out")
    most = max(max(before, after, 0.0) for _, before, after in pairs) or 1.0
    for bar, before, after in pairs:
        if pdf.get_y() > pdf.eph:
            pdf.add_page()
        top = pdf.get_y() + 1
        pdf.set_font("Lato", size=9)
        pdf.set_xy(pdf.l_margin, top + 2)
        pdf.cell(38, 5, shown(bar.place))
        was, now = (f"{words} with it {where}" for words, where in zip(bar.words, ("in", "out"), strict=True))
        for offset, value, said, style in ((0.0, before, was, "F"), (5.0, after, now, "D")):
            width = max(0.0, value) / most * 100
            pdf.set_fill_color(90)
            if width > 0.2:
                pdf.rect(pdf.l_margin + 40, top + offset, width, 4, style=style)
            pdf.set_xy(pdf.l_margin + 41 + width, top + offset)
            pdf.cell(35, 4, said)
        pdf.set_xy(pdf.l_margin, top + 11)
    pdf.set_fill_color(255)


def _picture(pdf: "FPDF", png: bytes) -> None:
    room = pdf.eph + pdf.t_margin - pdf.get_y()
    pdf.image(BytesIO(png), x=pdf.l_margin, w=pdf.epw, h=room, keep_aspect_ratio=True)


def _photo(pdf: "FPDF", report: Report, photo: ReportPhoto) -> None:
    """Half a page for each at most, below what its entry says."""
    says = next((row.says for row in report.rows if row.number == photo.number), "")
    if photo.content and pdf.get_y() > pdf.eph / 2:
        pdf.add_page()
    _heading(pdf, f"Photo to entry {photo.number}")
    _paragraph(pdf, says)
    if not photo.content:
        _paragraph(pdf, photo.why)
        return
    try:
        pdf.image(BytesIO(photo.content), x=pdf.l_margin, w=pdf.epw, h=pdf.eph / 2 - 12, keep_aspect_ratio=True)
    except Exception:  # a picture that its reader cannot decode must not cost the report
        _paragraph(pdf, "The photo is not shown: it cannot be decoded.")


def _entries(pdf: "FPDF", report: Report) -> None:
    _heading(pdf, "All entries")
    pdf.set_font("Lato", size=9)
    with pdf.table(
        col_widths=(10, 32, 138), line_height=4.5, text_align=("RIGHT", "LEFT", "LEFT"),
        borders_layout="HORIZONTAL_LINES",
    ) as table:  # fmt: skip
        table.row(("No.", "Time", "Entry"))
        for row in report.rows:
            says = f"[struck: {row.struck}] {row.says}" if row.struck else row.says
            table.row((str(row.number), shown(row.at), shown(says)))
