"""The same answer as a page that needs no script: to be read, not to be written on."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from markupsafe import Markup, escape

_PAGE = Markup(
    '<!doctype html><html lang="en"><head><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    '<title>{title}</title><link rel="stylesheet" href="/bay.css"></head><body><main class="plain">{body}</main></body>'
    "</html>"
)


def shelf_html(jobs: Sequence[Mapping[str, Any]]) -> str:
    """The jobs, each as a link."""
    rows = Markup("").join(
        Markup('<li><a href="/plain/{key}">{title}</a><br>{says}<br><b>{stands}</b></li>').format(
            key=job["key"], title=job["title"], says=job["says"], stands=job["trouble"] or job["stands"]
        )
        for job in jobs
    )
    return str(_PAGE.format(title="Jobs", body=Markup("<h1>Jobs</h1><ul>{rows}</ul>").format(rows=rows)))


def job_html(key: str, answer: Mapping[str, Any]) -> str:
    """Where it stands and what to do; the steps with their cautions; the boxes; the card."""
    body = Markup("").join(
        (
            Markup('<p><a href="/plain">All jobs</a></p><h1>{}</h1>').format(answer["vehicle"] or "Job"),
            _lines([answer["stands"], answer["do"], answer["early"]]),
            *(_section(its["label"], its["lines"]) for its in answer["sections"]),
            Markup("<h2>Next</h2>"),
            *(_step(step) for step in answer["steps"]),
            *(_box(box) for box in answer["boxes"]),
            Markup("<h2>Card</h2>"),
            _list(_entry(entry) for entry in answer["entries"]),
            _section("Care", answer["cautions"]),
        )
    )
    return str(_PAGE.format(title=answer["vehicle"] or "Job", body=body))


def _lines(lines: Iterable[str]) -> Markup:
    return Markup("").join(Markup("<p>{}</p>").format(line) for line in lines if line)


def _list(rows: Iterable[str]) -> Markup:
    return Markup("<ul>{}</ul>").format(Markup("").join(Markup("<li>{}</li>").format(row) for row in rows))


def _section(label: str, lines: Iterable[str]) -> Markup:
    head = Markup("<h2>{}</h2>").format(label) if label else Markup("")
    return head + _lines(lines)


def _step(step: Mapping[str, Any]) -> Markup:
    head = Markup("<h3>{} {}</h3>").format(step["number"], f"{step['words']} {step['time']}")
    seen = (f"{its['words']} ({its['chance']})" for its in step["outcomes"])
    return head + _lines(f"! {caution}" for caution in step["cautions"]) + _list(seen)


def _box(box: Mapping[str, Any]) -> Markup:
    rows = Markup("").join(
        Markup("<tr><th>{}</th><td>{}</td><td>{} {} {}</td><td>{}</td></tr>").format(
            fuse["short"], fuse["feeds"], fuse["sign"], fuse["why"] or fuse["state"], fuse["shown"], fuse["asleep"]
        )
        for fuse in box["fuses"]
    )
    head = Markup("<tr><th>fuse</th><th>feeds</th><th>stands</th><th>asleep</th></tr>")
    return Markup("<h2>{} {}</h2><table>{}{}</table>").format(box["name"], box["says"], head, rows)


def _entry(entry: Mapping[str, Any]) -> str:
    struck = f"[struck: {entry['struck']}] " if entry["struck"] else ""
    return escape(f"{entry['at']} {entry['by']} {struck}{entry['says']}")
