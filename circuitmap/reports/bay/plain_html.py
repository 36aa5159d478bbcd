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


def shelf_html(jobs: Sequence[Mapping[str, Any]], platforms: Sequence[Mapping[str, Any]]) -> str:
    """The jobs, then the platforms, each as a link."""
    rows = (
        Markup('<a href="/plain/{}">{}</a><br>{}<br><b>{}</b>').format(
            job["key"], job["title"], job["says"], job["trouble"] or job["stands"]
        )
        for job in jobs
    )
    read = (
        Markup('<a href="/plain/platforms/{}">{}</a><br>{}').format(
            one["key"], one["title"], one["trouble"] or one["says"]
        )
        for one in platforms
    )
    there = Markup("<h1>Platforms</h1>") + _list(read) if platforms else Markup("")
    return str(_PAGE.format(title="Jobs", body=Markup("<h1>Jobs</h1>") + _list(rows) + there))


def platform_html(platform: Mapping[str, Any]) -> str:
    """A platform's boxes, each fuse with what it feeds, and a link to what is known of it."""
    body = Markup("").join(
        (
            Markup('<p><a href="/plain">All jobs and platforms</a></p><h1>{}</h1>').format(platform["title"]),
            *(_box_to_read(platform["key"], box) for box in platform["boxes"]),
        )
    )
    return str(_PAGE.format(title=platform["title"], body=body))


def part_html(key: str, part: Mapping[str, Any]) -> str:
    """One part in its circuit: how deep a line stands is told by its margin on the page, and by signs here."""
    hands_off = [f"! HANDS OFF: {part['hands_off']}"] if part["hands_off"] else []
    lines = ([f"{'· ' * min(its['depth'], 8)}{its['says']}" for its in said["lines"]] for said in part["sections"])
    body = Markup("").join(
        (
            Markup('<p><a href="/plain/platforms/{}">Back to the fuses</a></p><h1>{}</h1>').format(key, part["name"]),
            _lines(hands_off),
            *(_section(its["label"], said) for its, said in zip(part["sections"], lines, strict=True)),
        )
    )
    return str(_PAGE.format(title=part["name"], body=body))


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


def _box_to_read(key: str, box: Mapping[str, Any]) -> Markup:
    rows = Markup("").join(
        Markup('<tr><th><a href="/plain/platforms/{}/{}">{}</a></th><td>{} {}</td><td>{} {}</td></tr>').format(
            key,
            fuse["part"],
            fuse["short"],
            fuse["size"],
            fuse["feeds"],
            fuse["sign"] if fuse["why"] else "",
            fuse["why"],
        )
        for fuse in box["fuses"]
    )
    head = Markup("<tr><th>fuse</th><th>feeds</th><th></th></tr>")
    return Markup("<h2>{} {}</h2><table>{}{}</table>").format(box["name"], box["says"], head, rows)


def _entry(entry: Mapping[str, Any]) -> str:
    struck = f"[struck: {entry['struck']}] " if entry["struck"] else ""
    return escape(f"{entry['at']} {entry['by']} {struck}{entry['says']}")
