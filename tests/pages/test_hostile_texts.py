"""Whatever somebody types: no script runs, nothing is loaded, no control character comes out."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.cli.printing import harmless
from circuitmap.drawings.files.svg import svg_of
from circuitmap.drawings.inking.ink import DrawnText, Picture
from circuitmap.drawings.lettering.text_width import Style, clean
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.card_writing import new_card
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.pages.report import report_of
from circuitmap.reports.pages.report_html import report_html
from circuitmap.reports.pages.report_md import report_md
from circuitmap.reports.pages.report_pdf import report_pdf
from circuitmap.reports.pages.share import NO_PICTURES, shared_platform
from circuitmap.reports.pages.share_html import share_html
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform
from tests.card_texts import with_entry
from tests.pages.browser import ALLOWED, browser, watched
from tests.pages.hostile import hostile_texts

VAN = Path(__file__).parents[2] / "sample_vehicles" / "van"
TEXTS = hostile_texts(5000)
CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\u061c\u200e\u200f]")


@pytest.fixture(scope="module")
def platform() -> Platform:
    return open_platform(VAN)


@pytest.fixture(scope="module")
def pages(platform: Platform) -> list[str]:
    """Puts every text into some field of a platform page or a report; each page holds hundreds."""
    waiting = iter(TEXTS * 2)
    made = []
    for _ in range(12):
        spoilt = poisoned(platform, waiting)
        hanging = {fuse.name: {load.name: "" for load in platform.loads[:3]} for fuse in platform.fuses}
        fed = {load.name: next(waiting, "x") for load in platform.loads}
        made.append(share_html(shared_platform(spoilt, hanging, fed, NO_PICTURES, circuit_of(spoilt).hands_off)))
    for _ in range(24):
        job = job_from(platform, card(waiting), "job.yaml")
        made.append(report_html(report_of(job, not_known=[next(waiting, "x")])))
    return made


def poisoned(platform: Platform, texts: Iterator[str]) -> Platform:
    """The platform with a hostile text in every place where a person can type one."""

    def one() -> str:
        return next(texts, "x")

    parts = {n: replace(p, description=one(), place=one(), part_number=one()) for n, p in platform.parts.items()}
    return replace(
        platform,
        name=one(),
        years=one(),
        parts=parts,
        wires=tuple(replace(w, code=one(), name=one()) for w in platform.wires),
        sheets={n: replace(s, title=one(), copied=one()) for n, s in platform.sheets.items()},
        networks={n: replace(net, description=one()) for n, net in platform.networks.items()},
    )


def card(texts: Iterator[str]) -> str:
    keys = ("vehicle", "complaint", "since", "done-before", "happens-when", "odometer")
    text = new_card([("job", next(texts, "x")), *((key, next(texts, "x")) for key in keys)])
    for key in ("remark", "claim", "photo", "cause", "to-mend", "until-then", "mended") * 2:
        text = with_entry(SourceFile("job.yaml", text), (("at", next(texts, "x")), (key, next(texts, "x"))))
    return text


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with browser() as found:
        yield found


@pytest.mark.parametrize("protected", [True, False], ids=["with its policy", "without its policy"])
def test_no_script_runs_and_nothing_is_loaded(chromium: Any, pages: list[str], tmp_path: Path, protected: bool) -> None:
    """One after the other in one page, watched from the first to the last."""
    page, watch = watched(chromium)
    wanted = []
    for number, text in enumerate(pages):
        if not protected:
            text, removed = re.subn(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
            assert removed == 1
        file = tmp_path / f"{number}.html"
        file.write_text(text, encoding="utf-8", errors="surrogatepass")
        page.goto(file.as_uri())
        wanted.append(file.as_uri())
        elements, attributes, links = page.evaluate(INSIDE)
        assert set(elements) <= ALLOWED
        assert not [name for name in attributes if name.startswith("on")]
        assert all(link.startswith("#") for link in links)
        assert watch.requests == wanted
        assert watch.dialogs == watch.errors == []
    page.context.close()


INSIDE = """() => { const all = [...document.querySelectorAll('*')], once = names => [...new Set(names)]
  return [once(all.map(e => e.localName)), once(all.flatMap(e => e.getAttributeNames())),
    all.map(e => e.getAttribute('href')).filter(href => href !== null)] }"""
"""The names of all elements, of all attributes, and all links of a page."""


def test_no_control_character_comes_out(pages: list[str]) -> None:
    for text in pages:
        assert CONTROL.search(text) is None


def test_every_text_was_in_some_page(pages: list[str]) -> None:
    """The experiment is worth nothing if the texts never reached a page: look for harmless pieces of them."""
    together = "".join(pages)
    assert together.count("hit()") > 1500
    assert "&lt;script&gt;" in together


def test_markdown_terminal_pdf_and_json(platform: Platform) -> None:
    texts = iter(TEXTS)
    for _ in range(20):
        job = job_from(platform, card(texts), "job.yaml")
        report = report_of(job)
        markdown = report_md(report)
        assert CONTROL.search(markdown) is None
        for line in markdown.splitlines():
            assert re.search(r"(?<!\\)(?:\\\\)*[<\[`]", line.replace("**", "")) is None, line
        assert CONTROL.search(harmless("\n".join(job_text(job)))) is None
        assert json.loads(json.dumps(report.title)) == report.title
    content = report_pdf(report)
    assert content.startswith(b"%PDF") and b"/JavaScript" not in content and b"/URI" not in content


def test_drawings(chromium: Any, tmp_path: Path) -> None:
    """All texts as lettering of drawings: in SVG they stay text, both in a page and opened alone."""
    page, watch = watched(chromium)
    wanted = []
    for start in range(0, len(TEXTS), 500):
        some = [clean(text) for text in TEXTS[start : start + 500]]
        letters = tuple(DrawnText(5.0, 10.0 + 12 * n, text, Style(9.0), "#000000", 50.0) for n, text in enumerate(some))
        content = svg_of(Picture(600.0, 6100.0, letters, some[0], some[1]))
        assert CONTROL.search(content) is None
        for name, written in ((f"{start}.svg", content), (f"{start}.html", f"<!DOCTYPE html>{content}")):
            file = tmp_path / name
            file.write_text(written, encoding="utf-8")
            page.goto(file.as_uri())
            wanted.append(file.as_uri())
            elements = set(page.evaluate("[...document.querySelectorAll('svg, svg *')].map(e => e.localName)"))
            assert elements == {"svg", "title", "desc", "text"}
            assert page.evaluate("document.querySelectorAll('text').length") == len(letters)
            assert watch.requests == wanted and watch.dialogs == watch.errors == []
    page.context.close()
