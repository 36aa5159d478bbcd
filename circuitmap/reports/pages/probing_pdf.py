"""The probing sheet as PDF: A4 upright, for a clipboard."""

from circuitmap.reports.pages.probing_sheet import ProbingSheet, ProbingSheetRow
from circuitmap.reports.pages.ruled_rows import RuledRows, Side, Style
from circuitmap.reports.pages.worksheet_pdf import care_on, notes_on, sheet_paper

_TEXT = 8.0
_WIDTHS = (9, 50, 26, 20, 85)
"""Millimetres: number, place, what is sound, what was read, what follows: 190 in all."""
_HEADS = ("No.", "Hold the probe to", "Sound (at most)", "Read, V", "It shows: go on at, or it is")
_SIDES: tuple[Side, ...] = ("R", "L", "L", "L", "L")
_STYLES: tuple[Style, ...] = ("B", "B", "", "", "")


def probing_pdf(sheet: ProbingSheet) -> bytes:
    """The same sheet gives the same bytes."""
    pdf = sheet_paper(sheet.title, f"Probes: {sheet.about}", (("Job", 40), ("By", 40), ("Meter", 50)), sheet.about)
    care_on(pdf, sheet.cautions)
    pdf.set_font("Lato", size=_TEXT)
    for words in sheet.before:
        pdf.multi_cell(0, 4, f"First: {words}", align="L", new_x="LMARGIN", new_y="NEXT")
    pdf.ln(2)
    rows = RuledRows(pdf, _WIDTHS, _HEADS)
    for row in sheet.rows:
        rows.row(_cells(row), _SIDES, _STYLES)
    pdf.ln(3)
    notes_on(pdf, sheet.notes)
    return bytes(pdf.output())


def _cells(row: ProbingSheetRow) -> tuple[str, ...]:
    """One row for each place, which no page break parts."""
    follows = "\n".join(f"\N{EN DASH} {shown}: {then}" for shown, then in row.outcomes)
    return str(row.number), row.where, row.sound.replace(" (", "\n("), "\n", follows
