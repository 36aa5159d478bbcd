"""The worksheet as one HTML page: loads nothing, runs nothing, prints on A4."""

from collections.abc import Iterable
from html import escape

from circuitmap.reports.pages.worksheet import CURRENTS, BoxPage, Worksheet, WorksheetRow, drop_words, hanging_words

_STYLE = """
body{font:14px/1.35 Lato,Carlito,Arial,sans-serif;margin:1em auto;
 max-width:62em;padding:0 .7em;color:#000;background:#fff}
h1{font-size:1.3em;margin:.2em 0}h2{font-size:1.05em;margin:1.2em 0 .3em}
.care{border:2px solid #000;padding:.3em .8em}.care ul{margin:.3em 0;padding-left:1.2em}
.blank{display:inline-block;min-width:5em;border-bottom:1px solid #000;margin:0 .8em 0 .3em}
.wide{overflow-x:auto}table{border-collapse:collapse;width:100%}
th,td{border:1px solid #555;padding:.2em .35em;text-align:left;vertical-align:top}
th{background:#eee}td.n{white-space:nowrap}td.n,th.n{text-align:right}td.w{min-width:4em}tr{break-inside:avoid}
thead{display:table-header-group}.empty td{color:#595959}
@media print{body{font-size:8pt;max-width:none;margin:0;padding:0}.wide{overflow:visible}h2{break-after:avoid}}
@page{size:A4;margin:10mm}
"""


def worksheet_html(worksheet: Worksheet) -> str:
    notes = "".join(f"<p>{escape(text)}</p>" for text in worksheet.notes)
    blanks = blanks_html(("Locked at", "Meter", "Zero", "Steps"))
    return sheet_html(
        f"Fuses of {worksheet.title}",
        f"<h1>{escape(worksheet.title)}</h1>\n<p>Fuse by fuse, parked. {blanks}</p>\n"
        f"{care_html(worksheet.cautions)}" + "".join(map(_box, worksheet.boxes)) + f"<section>{notes}</section>\n",
    )


def sheet_html(title: str, body: str) -> str:
    """A sheet to be printed, whole; `body` is markup."""
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{_STYLE}</style></head>\n<body><main>\n{body}</main></body></html>\n"
    )


def care_html(cautions: Iterable[str]) -> str:
    """The box with what to take care of."""
    lines = "".join(f"<li>{escape(text)}</li>" for text in cautions)
    return f'<section class="care"><strong>CARE</strong><ul>{lines}</ul></section>\n'


def blanks_html(labels: Iterable[str]) -> str:
    """Lines to write on, each behind what belongs there."""
    return "".join(f'{label}<span class="blank"></span>' for label in labels)


def _box(box: BoxPage) -> str:
    about = ", ".join(word for word in (box.name or "Not in a box", box.description, box.place) if word)
    drops = "".join(f'<th class="n" scope="col">mV at {current * 1000:.0f} mA</th>' for current in CURRENTS)
    head = (
        f'<tr><th scope="col">Fuse</th><th scope="col">Size</th><th scope="col">Hangs on it: fed how</th>{drops}'
        '<th class="n" scope="col">0.0 hides</th><th scope="col">Reading</th><th scope="col">Total</th>'
        '<th scope="col">Time</th></tr>'
    )
    rows = "\n".join(_row(row) for row in box.rows)
    return (
        f'<h2>{escape(about)}</h2>\n<div class="wide" tabindex="0" role="region" aria-label="{escape(about)}">'
        f"<table><thead>{head}</thead><tbody>\n{rows}\n</tbody></table></div>\n"
    )


def _row(row: WorksheetRow) -> str:
    name = escape(row.fuse.name.rpartition(".")[2])
    hanging = "<br>".join(escape(words) for words in hanging_words(row))
    if not row.is_read:
        kind = "empty" if row.fuse.empty else "hands-off"
        blank = '<td colspan="7"></td>'
        return f'<tr class="{kind}"><td>{name}</td><td>{escape(row.size)}</td><td>{hanging}</td>{blank}</tr>'
    drops = "".join(f'<td class="n">{escape(word)}</td>' for word in drop_words(row.drop))
    return (
        f"<tr><td>{name}</td><td>{escape(row.size)}</td><td>{hanging}</td>{drops}"
        '<td class="w"></td><td class="w"></td><td class="w"></td></tr>'
    )
