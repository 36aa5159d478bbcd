"""The probing sheet as one HTML page: loads nothing, runs nothing, prints on A4."""

from html import escape

from circuitmap.reports.pages.probing_sheet import ProbingSheet, ProbingSheetRow
from circuitmap.reports.pages.worksheet_html import blanks_html, care_html, sheet_html


def probing_html(sheet: ProbingSheet) -> str:
    """One table, a row for each place."""
    rows = "".join(map(_row, sheet.rows))
    before = "".join(f"<li>{escape(text)}</li>" for text in sheet.before)
    first = f"<h2>First, without a meter</h2><ul>{before}</ul>\n" if before else ""
    heads = ("No.", "Hold the probe to", "Sound (at most)", "Read, V", "Shows", "Then")
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    table = (
        '<div class="wide" tabindex="0" role="region" aria-label="Probes">'
        f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>\n"
    )
    notes = "".join(f"<p>{escape(text)}</p>" for text in sheet.notes)
    body = (
        f"<h1>{escape(sheet.title)}</h1>\n<p>{escape(sheet.about)}</p><p>{blanks_html(('Job', 'By', 'Meter'))}</p>\n"
        f"{care_html(sheet.cautions)}{first}{table if rows else ''}<section>{notes}</section>\n"
    )
    return sheet_html(f"Probes: {sheet.about}", body)


def _row(row: ProbingSheetRow) -> str:
    count = len(row.outcomes)
    head = (
        f'<td rowspan="{count}">{row.number}</td><td rowspan="{count}">{escape(row.where)}</td>'
        f'<td rowspan="{count}">{escape(row.sound)}</td><td class="w" rowspan="{count}"></td>'
    )
    lines = [f"<td>{escape(shown)}</td><td>{escape(then)}</td>" for shown, then in row.outcomes]
    return "".join(f"<tr>{head if n == 0 else ''}{line}</tr>\n" for n, line in enumerate(lines))
