"""The pages as a browser shows them: phone width, no scripts, nothing loaded, readable by everybody, A4 in print."""

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from circuitmap.flows.job import open_job
from circuitmap.flows.page import job_report, shared_job, shared_page
from circuitmap.flows.questions import open_bench
from tests.pages.browser import browser, opened

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"

CARD = """\
job: "17"
vehicle: Marlow Linnet van
platform: {van}
complaint: flat after two days
flat-after: 2 days
customer: Ada Quill
phone: "0731 4420"
entries:
  - {{at: 10:00, meter: low-current clamp, zeroed: yes}}
  - {{at: 10:02, state: locked}}
  - {{at: 10:50, read: {{F22: 0.6mV}}, total: 0.47A}}
  - {{at: 11:00, out: [BCM]}}
  - {{at: 11:50, read: {{F22: 0.0mV}}, total: 0.04A}}
  - {{at: 11:51, remark: Ada said it rained}}
"""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    card = folder / "job.yaml"
    card.write_text(CARD.format(van=SAMPLES / "van"))
    contents = {
        "van": shared_page(open_bench(SAMPLES / "van")),
        "truck": shared_page(open_bench(SAMPLES / "truck")),
        "report": job_report(open_job(card), "html"),
        "shared report": shared_job(open_job(card)).page,
    }
    for name, content in contents.items():
        (folder / f"{name}.html").write_bytes(content)
    return {name: folder / f"{name}.html" for name in contents}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with browser() as found:
        yield found


NAMES = ("van", "truck", "report", "shared report")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [320, 430])
def test_no_sideways_scroll_on_a_phone(chromium: Any, pages: dict[str, Path], name: str, width: int) -> None:
    page, _ = opened(chromium, pages[name], width=width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_loaded_and_nothing_fails(chromium: Any, pages: dict[str, Path], name: str) -> None:
    _, watch = opened(chromium, pages[name])
    assert watch.requests == [pages[name].as_uri()]
    assert watch.dialogs == watch.errors == []


@pytest.mark.parametrize("name", NAMES)
def test_accessible_by_the_rules_of_wcag(chromium: Any, pages: dict[str, Path], name: str) -> None:
    """axe-core, a general checker of WCAG rules."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, _ = opened(chromium, pages[name])
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    found = axe.Axe().run(page).response["violations"]
    assert [(v["id"], v["nodes"][0]["html"][:80]) for v in found] == []


@pytest.mark.parametrize("name", NAMES)
def test_touch_targets_are_large_enough(chromium: Any, pages: dict[str, Path], name: str) -> None:
    page, _ = opened(chromium, pages[name])
    small = page.evaluate(
        "[...document.querySelectorAll('a,summary,input')].filter(e => e.offsetParent && e.offsetHeight < 44)"
        ".map(e => e.textContent)"
    )
    assert small == []


def test_every_fact_is_there_without_scripts(chromium: Any, pages: dict[str, Path]) -> None:
    with_scripts, _ = opened(chromium, pages["van"])
    without, _ = opened(chromium, pages["van"], scripts=False)
    text = without.locator("article").all_text_contents()
    assert text == with_scripts.locator("article").all_text_contents()
    assert any("CAB.F22" in item for item in text)
    assert not without.locator("#searching").is_visible()


def test_the_search_finds_and_clears(chromium: Any, pages: dict[str, Path]) -> None:
    page, _ = opened(chromium, pages["van"])
    everything = page.locator("article:visible").count()
    page.fill("#search", "f22 body")
    assert 0 < page.locator("article:visible").count() < everything
    assert page.locator("#found").text_content() == f"{page.locator('article:visible').count()} found"
    page.fill("#search", "")
    assert page.locator("article:visible").count() == everything


def test_every_link_leads_somewhere(chromium: Any, pages: dict[str, Path]) -> None:
    for name in ("van", "truck"):
        page, _ = opened(chromium, pages[name])
        lost = page.evaluate(
            "[...document.querySelectorAll('a')].map(a => a.getAttribute('href'))"
            ".filter(h => !document.getElementById(h.slice(1)))"
        )
        assert lost == []
        ids = page.evaluate("[...document.querySelectorAll('[id]')].map(e => e.id)")
        assert len(ids) == len(set(ids))


def test_the_same_bytes_each_time() -> None:
    assert shared_page(open_bench(SAMPLES / "van")) == shared_page(open_bench(SAMPLES / "van"))


def test_the_customer_is_on_the_shops_report_and_on_nothing_shared(pages: dict[str, Path]) -> None:
    own, shared = (pages[name].read_text() for name in ("report", "shared report"))
    assert "Ada Quill" in own and "0731 4420" in own
    for word in ("Ada", "Quill", "0731"):
        assert word not in shared
    assert "[customer] said it rained" in shared


def test_the_page_names_what_may_run_by_its_hash(pages: dict[str, Path]) -> None:
    for name in NAMES:
        text = pages[name].read_text()
        policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text)
        assert policy is not None
        assert "default-src &#39;none&#39;" in policy[1]
        assert "unsafe" not in policy[1] and "http" not in policy[1] and "*" not in policy[1]


def test_printed_on_a4(chromium: Any, pages: dict[str, Path], tmp_path: Path) -> None:
    page, _ = opened(chromium, pages["report"])
    page.pdf(path=tmp_path / "a4.pdf", prefer_css_page_size=True)
    info = subprocess.run(["pdfinfo", str(tmp_path / "a4.pdf")], capture_output=True, text=True, check=True).stdout
    assert "(A4)" in info
    first = subprocess.run(
        ["pdftotext", "-l", "1", str(tmp_path / "a4.pdf"), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert "You told us" in first and "Record for the technician" not in first


@pytest.mark.parametrize("name", ["van", "truck"])
def test_a_shared_platform_is_small_enough_to_send(pages: dict[str, Path], name: str) -> None:
    assert pages[name].stat().st_size < 500_000


def test_a_hit_is_seen_without_scrolling(chromium: Any, pages: dict[str, Path]) -> None:
    page, _ = opened(chromium, pages["truck"])
    page.fill("#search", "f22")
    first = page.locator("article:visible").first
    assert "F22" in (first.text_content() or "")
    box = first.bounding_box()
    assert box is not None and box["y"] + 40 < 800
    assert page.locator("details.fold[open]").count() == 0
    page.fill("#search", "")
    assert page.locator("details.fold[open]").count() == 2


@pytest.mark.parametrize("name", ["van", "report"])
def test_a_drawing_starts_at_a_readable_size_and_can_be_made_smaller(
    chromium: Any, pages: dict[str, Path], name: str
) -> None:
    page, _ = opened(chromium, pages[name])
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    scale = "svg => svg.getBoundingClientRect().width / svg.viewBox.baseVal.width"
    picture = page.locator(".smaller + .drawing svg").first
    assert picture.evaluate(scale) > 1.3, "points at their own size: type of ten pixels and more"
    page.locator(".smaller input").first.check()
    assert picture.evaluate("svg => svg.getBoundingClientRect().right") <= 390
