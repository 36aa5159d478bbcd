"""The probing sheet as plain text, 100 columns."""

from circuitmap.reports.pages.probing_sheet import ProbingSheet, ProbingSheetRow
from circuitmap.reports.words.paragraphs import as_text, section, wrapped

WIDTH = 100
_BLANK = "read ________ V"


def probing_text(sheet: ProbingSheet) -> str:
    """Number by number, with a blank for what was read."""
    head = [sheet.title, *wrapped(sheet.about, width=WIDTH), "Job ____________   By ____________   Meter ____________"]
    return as_text(
        head,
        section("CARE", sheet.cautions, WIDTH),
        section("FIRST", sheet.before, WIDTH),
        *map(_row, sheet.rows),
        section("NOTES", sheet.notes, WIDTH),
    )


def _row(row: ProbingSheetRow) -> list[str]:
    lines = wrapped(f"{row.where}   {_BLANK}", f"{row.number:>2}  ", "    ", WIDTH)
    if row.sound:
        lines += wrapped(f"sound: {row.sound}", "    ", "    ", WIDTH)
    for shown, then in row.outcomes:
        lines += wrapped(f"{shown}: {then}", "    [ ] ", "        ", WIDTH)
    return lines
