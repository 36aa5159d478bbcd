"""The report as one HTML page: the customer's part first, the record on a page of its own in print."""

import base64

from markupsafe import Markup

from circuitmap.reports.pages.page import drawing_html, each, not_complete, page, shown
from circuitmap.reports.pages.report import Bar, Report, ReportSection


def report_html(report: Report) -> str:
    body = Markup(
        '<h1>{vehicle}</h1>\n{job}<p class="verdict">{verdict}</p>\n{not_complete}{figures}{customer}{drawing}'
        '<section class="new-page"><h1>Record for the technician</h1>\n{bars}{record}{nights}{rows}{photos}</section>\n'
    ).format(
        vehicle=shown(report.vehicle),
        job=Markup("<p>Job {}</p>\n").format(shown(report.job)) if report.job else "",
        verdict=shown(report.verdict),
        not_complete=not_complete(report.not_complete),
        figures=_figures(report),
        customer=_sections(report.customer, 2),
        drawing=_drawing(report),
        bars=_bars(report),
        record=_sections(report.record, 2),
        nights=_nights(report),
        rows=_rows(report),
        photos=_photos(report),
    )
    return page(report.title, body, pictures=bool(report.photos))


def _figures(report: Report) -> Markup:
    rows = []
    for one in report.figures:
        boxes = [
            Markup('<div class="figure">{}<b>{}</b></div>').format(shown(label), shown(value))
            for label, value in one.labelled
        ]
        rows.append(Markup('<div class="figures">{}</div>\n').format(Markup("").join(boxes)))
    return Markup("").join(rows)


def _sections(sections: tuple[ReportSection, ...], level: int) -> Markup:
    return Markup("").join(_section(section, level) for section in sections)


def _section(section: ReportSection, level: int) -> Markup:
    if len(section.sentences) == 1:
        inside = each("<p>{}</p>", section.sentences)
    else:
        inside = Markup("<ul>{}</ul>").format(each("<li>{}</li>", section.sentences))
    care = Markup(' class="care"') if section.heading == "Cautions" else ""
    return Markup("<section{care}><h{n}>{heading}</h{n}>\n{inside}</section>\n").format(
        care=care, n=level, heading=shown(section.heading), inside=inside
    )


def _drawing(report: Report) -> Markup:
    if not report.drawing:
        return Markup("")
    return Markup("<section><h2>The picture</h2>\n<p>{}</p>\n{}</section>\n").format(
        shown(report.drawing_words), drawing_html("Drawing", report.drawing)
    )


_ROOM, _ROW, _AMPS = 360.0, 66.0, 140.0
"""The width of the chart in its own units: that of a phone, so that its letters stay as large as the text's."""


def _bars(report: Report) -> Markup:
    """Before and after as bars, with the figures beside them: told apart by fill and word, not by colour."""
    known = [(bar, bar.before, bar.after) for bar in report.bars]
    pairs = [(bar, before, after) for bar, before, after in known if before is not None and after is not None]
    if not pairs:
        return Markup("")
    most = max(max(before, after, 0.0) for _, before, after in pairs) or 1.0
    scale = (_ROOM - _AMPS) / most
    rows = Markup("").join(_bar(pair, number, scale) for number, pair in enumerate(pairs))
    return Markup(
        '<section><h2>With it in, and out</h2>\n<div class="chart"><svg xmlns="http://www.w3.org/2000/svg" '
        'viewBox="0 0 {room:.0f} {height:.0f}" role="img" '
        'aria-label="Current with it in and out, place by place" font-size="15">{rows}</svg></div></section>\n'
    ).format(room=_ROOM, height=_ROW * len(pairs), rows=rows)


def _bar(pair: tuple[Bar, float, float], number: int, scale: float) -> Markup:
    bar, before, after = pair
    was, now = bar.words
    top = number * _ROW
    wide, narrow = max(0.0, before) * scale, max(0.0, after) * scale
    return Markup(
        '<text x="0" y="{label:.1f}" font-weight="700">{place}</text>'
        '<rect x="1" y="{first:.1f}" width="{wide:.1f}" height="16" fill="#555"/>'
        '<text x="{wide_end:.1f}" y="{first_text:.1f}">{was} with it in</text>'
        '<rect x="1" y="{second:.1f}" width="{narrow:.1f}" height="16" fill="#fff" stroke="#111"/>'
        '<text x="{narrow_end:.1f}" y="{second_text:.1f}">{now} with it out</text>'
    ).format(
        label=top + 15, place=shown(bar.place), first=top + 21, wide=wide, wide_end=wide + 7, first_text=top + 34,
        was=was, second=top + 41, narrow=narrow, narrow_end=narrow + 7, second_text=top + 54, now=now,
    )  # fmt: skip


def _rows(report: Report) -> Markup:
    rows = Markup("").join(
        Markup('<tr{cls}><td class="number">{n}</td><td class="time">{at}</td><td>{says}{why}</td></tr>\n').format(
            cls=Markup(' class="struck"') if row.struck else "", n=row.number, at=shown(row.at).replace(" ", "\n"),
            says=shown(row.says), why=f" [struck: {shown(row.struck)}]" if row.struck else "",
        )
        for row in report.rows
    )  # fmt: skip
    return Markup(
        '<section><h2>All entries</h2>\n<table><thead><tr><th class="number">No.</th><th>Time</th><th>Entry</th></tr>'
        "</thead><tbody>\n{}</tbody></table></section>\n"
    ).format(rows)


def _nights(report: Report) -> Markup:
    """Each night's log as it was drawn."""
    if not report.nights:
        return Markup("")
    shapes = Markup("").join(
        Markup("<h3>The night of entry {n}: {file}</h3>\n{its}{words}").format(
            n=night.number,
            file=shown(night.file),
            words=each("<p>{}</p>", night.words),
            its=drawing_html("The night", night.svg) if night.svg else Markup("<p>{}</p>\n").format(shown(night.why)),
        )
        for night in report.nights
    )
    return Markup("<section><h2>The night</h2>\n{}</section>\n").format(shapes)


def _photos(report: Report) -> Markup:
    """Each below what its entry says, inside of the page: it is one file that loads nothing."""
    if not report.photos:
        return Markup("")
    says = {row.number: row.says for row in report.rows}
    shapes = Markup("").join(
        Markup('<figure><figcaption>{n}: {says}</figcaption>{its}</figure>\n').format(
            n=photo.number, says=shown(says.get(photo.number, "")),
            its=Markup('<img class="photo" alt="Photo to entry {n}" src="data:image/jpeg;base64,{data}">').format(
                n=photo.number, data=base64.b64encode(photo.content).decode("ascii")
            ) if photo.content else Markup("<p>{}</p>").format(shown(photo.why)),
        )
        for photo in report.photos
    )  # fmt: skip
    return Markup("<section><h2>Photos</h2>\n{}</section>\n").format(shapes)
