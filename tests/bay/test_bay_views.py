"""The page from the shelf to the report, in a real browser: a job begun, what is seen without a fuse, photos, parts, a
desk's width, the end of the wait, paper."""

import json
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from PIL import Image

from circuitmap.flows.job import open_job
from tests.bay.cameras import PLACE, camera
from tests.bay.phones import box_of, paired_phone, wait_until_empty
from tests.bay.served import Served
from tests.bay.test_bay_page import said


def sub(page: Any, name: str) -> None:
    page.click(f"main .taps >> button:text-is('{name}')")
    page.wait_for_selector(f"main .taps button[aria-pressed=true]:text-is('{name}')")


def pick(page: Any, name: str, *then: str) -> None:
    page.click(f".pick .job:has(b:text-is('{name}'))")
    for words in then:
        page.click(f".pick .taps button:text-is('{words}')")


def cautions_above(page: Any) -> bool:
    """Whether every tap of the open row stands below a caution."""
    return bool(
        page.evaluate(
            """() => { const cares = [...document.querySelectorAll('main .care')].map(one => one.getBoundingClientRect().top)
            return cares.length > 0 && [...document.querySelectorAll('.pick .taps button')].every(one =>
            one.getBoundingClientRect().top > Math.min(...cares)) }"""
        )
    )


def test_a_job_is_begun_on_the_page_and_worked_on(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    page.click("#tabs >> text=Jobs")
    page.click("text=Platforms, begin a job")
    page.click(".job:has-text('Ostrey Dunlin')")
    page.click(".fuse:has-text('F3') button")
    page.wait_for_selector("#part:has-text('HEATER (heater)')")
    assert page.locator(".fuse:has-text('F2'):has-text('HANDS OFF')").count() == 1
    page.click("#part button:text-is('Close')")
    page.click("main button:text-is('Begin a job')")
    page.fill("#ask-number", "0512")
    page.fill("#ask-complaint", "flat after two nights")
    page.fill("#ask-done-before", "heater fitted in spring")
    assert page.input_value("#ask-battery") == "95Ah"
    page.click("text=has it")
    page.click("main >> text=Back to the fuses")
    page.click("main button:text-is('Begin a job')")
    assert page.input_value("#ask-complaint") == "flat after two nights", "what was typed outlives the view"
    page.click("button:text-is('Begin')")
    page.wait_for_selector("h2:has-text('PREPARE')", timeout=60_000)
    job = open_job(camper.what / "0512.yaml")
    told = {name: text.value for name, text in job.card.intake.items()}
    assert told["complaint"] == "flat after two nights" and told["done-before"] == "heater fitted in spring"
    assert told["battery"] == "95Ah" and job.evidence.options == {"TOW": True} and job.problems == ()
    page.click("#tabs >> text=Read")
    page.click("button:text-is('locked')")
    wait_until_empty(page)
    page.wait_for_selector("#todo:has-text('Too early until')")
    assert page.errors == []


def test_relays_inputs_networks_and_finds_are_few_taps(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    sub(page, "Relays")
    page.wait_for_selector(".pick")
    assert page.locator(".pick:has-text('K2')").count() == 0, "what is hands-off is not offered"
    pick(page, "HAB.K1")
    assert cautions_above(page)
    page.click(".pick .taps button:text-is('volts at its coil')")
    pick(page, "HAB.K1", "warm by hand")
    sub(page, "Live data")
    pick(page, "STEPSW")
    assert cautions_above(page) and page.locator(".care:has-text('A scan wakes the car')").count() == 1
    page.click(".pick .taps button:text-is('shown wrong')")
    sub(page, "Found")
    assert page.locator(".pick:has-text('SDM')").count() == 0
    pick(page, "STEP")
    assert page.locator(".pick .taps button:text-is('burning')").count() == 0, "it is no lamp"
    pick(page, "LOCKL", "burning")
    wait_until_empty(page)
    texts = "\n".join(said(camper))
    for written in ("HAB.K1: held", "HAB.K1: warm", "STEPSW: wrong", "LOCKL: burning"):
        assert written in texts
    page.wait_for_selector(".pick:has-text('LOCKL'):has-text('● burning')")
    assert page.errors == []


def test_a_long_list_is_found_by_name(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    sub(page, "Found")
    page.fill("[placeholder='Find by name']", "locker")
    assert page.locator(".pick:visible").count() == 1
    pick(page, "LOCKL", "warm")
    wait_until_empty(page)
    assert "LOCKL: warm" in said(camper)[0]


def test_a_scan_and_a_code_and_the_volts_of_a_line(found: Any, own_camper: Served) -> None:
    text = (
        (own_camper.what / "camper" / "all.circuit")
        .read_text()
        .replace("members HEATER, SDM", "members HEATER, STEPCTL")
    )
    (own_camper.what / "camper" / "all.circuit").write_text(text + 'module STEPCTL "step control"\n')
    page = paired_phone(found, own_camper, "Ida", view="Read")
    sub(page, "Networks")
    pick(page, "LIVING", "volts")
    for key in ("2", ".", "5"):
        page.click(f".keys button:text-is('{key}')")
    assert page.locator("#pad .care").count() == 1
    page.click(".keys .main")
    sub(page, "Scan")
    page.click("[aria-label='HEATER silent']")
    page.click("text=All the rest answers (1)")
    page.click("text=Write the scan down")
    sub(page, "Codes")
    page.click("main button:text-is('U')")
    page.fill("#code", "0140")
    page.click("main button:text-is('back')")
    page.click("main button:text-is('STEPCTL') >> nth=0")
    page.click("main button:text-is('HEATER') >> nth=1")
    page.click("text=Write it down")
    wait_until_empty(page)
    texts = "\n".join(said(own_camper))
    for written in ("LIVING: 2.5V", "silent: HEATER", "answers: STEPCTL", "U0140 back STEPCTL about HEATER"):
        assert written in texts, texts
    assert page.errors == []


def test_the_meter_that_was_used_is_said_and_its_caution_shown(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    page.click(".fuse:has-text('F3') button.about")
    page.click("#pad button:text-is('A')")
    page.click("#pad button:text-is('meter in series')")
    care = page.locator("#pad .care")
    assert "10 A range, never mA" in care.inner_text()
    assert box_of(care)["y"] < box_of(page.locator(".keys"))["y"]
    for key in ("0", ".", "2"):
        page.click(f".keys button:text-is('{key}')")
    page.click(".keys .main")
    wait_until_empty(page)
    assert "meter: series" in said(camper)[0] and "F3: 0.2A" in said(camper)[0]
    other = paired_phone(found, camper, "Tom", view="Read")
    other.click(".fuse:has-text('BAT') button.about")
    other.click("#pad button:text-is('steady')")
    other.click(".keys button:text-is('1')")
    other.click(".keys .main")
    wait_until_empty(other)
    assert "meter: clamp" in said(camper)[-1] and "steady: yes" in said(camper)[-1], (
        "not with the meter of somebody else"
    )


def test_a_photo_is_made_smaller_and_stands_in_the_report(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    content = camera()
    assert PLACE in content
    picture = {"name": "Quillaby.jpg", "mimeType": "image/jpeg", "buffer": content}
    page.locator("input[type=file]").first.set_input_files(picture)
    page.wait_for_selector("img.photo")
    caution, keep = page.locator(".step .care"), page.locator("text=Keep the photo")
    assert box_of(caution)["y"] < box_of(keep)["y"]
    page.fill("#shows", "rubbed through")
    keep.click()
    wait_until_empty(page)
    page.wait_for_selector(".entry img.photo")
    [photo] = camper.card.parent.glob("*.jpg")
    assert "Quillaby" not in photo.name and PLACE not in photo.read_bytes()
    assert max(Image.open(photo).size) == 1600 and "rubbed through" in said(camper)[0] and photo.name in said(camper)[0]
    page.click("#tabs >> text=Report")
    where = page.locator("a:has-text('Open the report')").get_attribute("href")
    report = page.context.new_page()
    report.goto(camper.base.rstrip("/") + where)
    report.wait_for_selector("img.photo")
    assert report.evaluate("() => document.querySelector('img.photo').naturalWidth") == 1600
    assert "Quillaby" not in report.content()


def test_a_photo_waits_without_a_line_and_outlives_the_page(found: Any, own_camper: Served) -> None:
    page = paired_phone(found, own_camper, "Ida")
    own_camper.kill()
    page.locator("input[type=file]").first.set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": camera(600, 400)}
    )
    page.click("text=Keep the photo")
    page.wait_for_selector(".waits:has-text('with a photo')")
    again = page.context.new_page()
    again.goto(page.url)
    page.close()
    again.wait_for_selector(".waits:has-text('with a photo')")
    own_camper.start()
    again.wait_for_selector(".waits", state="detached", timeout=60_000)
    assert len(list(own_camper.card.parent.glob("*.jpg"))) == 1 and "photo" in said(own_camper)[0]


def test_a_photo_that_is_refused_is_thrown_away_only_by_two_taps(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    why = json.dumps({"why": "A photo has at most 2,000,000 bytes."})
    page.route("**/photos/*", lambda route: route.fulfill(status=409, content_type="application/json", body=why))
    page.locator("input[type=file]").first.set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": camera(60, 40)}
    )
    page.click("text=Keep the photo")
    page.wait_for_selector(".waits:has-text('Not taken'):has-text('2,000,000')")
    assert said(camper) == []
    page.click("text=Throw it away")
    assert page.locator(".waits").count() == 1
    page.click("text=Tap again: throw it away")
    page.wait_for_selector(".waits", state="detached")


def test_a_tap_on_the_drawing_tells_of_the_part(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    page.click(".fuse:has-text('F3') button.about")
    for key in ("6", "."):
        page.click(f".keys button:text-is('{key}')")
    page.click(".keys .main")
    wait_until_empty(page)
    assert "F3: 6mV" in said(camper)[0], "a point with nothing behind it is left out"
    page.click("#tabs >> text=Picture")
    page.wait_for_selector(".picture g[data-part]", timeout=60_000)
    box = box_of(page.locator(".picture g[data-part]:has(text:text-is('HEATER'))"))
    page.mouse.click(box["x"] - 15, box["y"] + 5)  # beside it, as a finger does
    page.wait_for_selector("#part h2:text-is('HEATER')", timeout=60_000)
    page.wait_for_selector("#part:has-text('HAB.F3')")
    page.click("#part button:text-is('Close')")
    page.click("main .taps button:has-text('F3')")
    page.wait_for_selector("#part h2:text-is('HAB.F3')", timeout=60_000)
    assert page.errors == []


def test_the_drawing_stays_where_it_was_moved_to(found: Any, truck: Served) -> None:
    page = paired_phone(found, truck, "Ida", view="Picture")
    page.wait_for_selector(".picture g[data-part]", timeout=60_000)
    frame = "document.querySelector('.frame')"
    seen = page.evaluate(
        f"""() => {{ const around = {frame}.getBoundingClientRect()
        return [...document.querySelectorAll('.picture g[data-part]')].some(one => {{ const box = one.getBoundingClientRect()
        return box.left >= around.left && box.right <= around.right && box.top >= around.top && box.bottom <= around.bottom }}) }}"""
    )
    assert seen, "it begins where a part is"
    page.evaluate(f"() => {{ {frame}.scrollTo(123, 45) }}")
    page.evaluate(REDRAWN)
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")  # it listens anew, and is told again
    page.wait_for_selector("body[data-redrawn]")
    assert page.evaluate(f"() => [{frame}.scrollLeft, {frame}.scrollTop]") == [123, 45]


REDRAWN = """() => new MutationObserver(() => { document.body.dataset.redrawn = 'yes' })
  .observe(document.getElementById('view'), { childList: true })"""
"""Leaves a sign once the view was drawn anew."""


def test_nothing_but_shapes_and_words_gets_out_of_a_drawing(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    evil = """<svg xmlns="http://www.w3.org/2000/svg" width="9pt" onload="x()"><script>x()</script><style>*{}</style>
      <a href="javascript:x()"><text>in a link</text></a><foreignObject><b xmlns="http://www.w3.org/1999/xhtml">b</b></foreignObject>
      <g data-part="0" onclick="x()"><rect x="1" fill="url(//evil.example/#a)" style="fill:red"/><use href="#x"/>
      <image href="//evil.example/x"/><text x="2">&lt;b&gt; stays words</text></g></svg>"""
    script = page.locator("script[type=module]").get_attribute("src")
    source = script.rpartition("/")[0] + "/drawn.js"
    built = page.evaluate(
        "async ([source, evil]) => new XMLSerializer().serializeToString((await import(source)).drawn(evil))",
        [source, evil],
    )
    assert "&lt;b&gt; stays words" in built and 'data-part="0"' in built
    for word in ("script", "style", "href", "onload", "onclick", "url(", "foreign", "image", "use", "evil"):
        assert word not in built, word


@pytest.mark.parametrize(("width", "panes"), [(899, 0), (900, 2), (1299, 2), (1300, 3)])
def test_a_desk_shows_columns(found: Any, camper: Served, width: int, panes: int) -> None:
    page = paired_phone(found, camper, "Ida", view="Read", width=width)
    assert page.locator(".pane").count() == panes
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    if panes:
        boxes = [box_of(page.locator(".pane").nth(number)) for number in range(panes)]
        assert all(a["x"] + a["width"] <= b["x"] for a, b in pairwise(boxes))
        page.click(".fuse:has-text('F1') .zero")
        page.wait_for_selector(".fuse.quiet:has-text('F1')")
        axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
        assert [its["id"] for its in axe.run(page).response["violations"]] == []


def test_when_the_wait_is_over_it_is_told_once(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Find")
    page.evaluate("() => { window.shaken = 0; navigator.vibrate = () => { window.shaken += 1; return true } }")
    page.clock.install()
    locked = datetime.now() - timedelta(minutes=5)
    with open(camper.card, "a") as card:
        card.write(f'  - {{at: "{locked:%Y-%m-%d %H:%M:%S}", state: locked}}\n')
    page.wait_for_selector("#todo:has-text('Too early until')", timeout=60_000)
    page.clock.fast_forward("12:00")
    page.wait_for_selector("#alarm:has-text('read')", timeout=60_000)
    assert "Read now" in page.title() and page.evaluate("() => window.shaken") == 1
    page.click("#alarm >> text=Seen")
    page.clock.fast_forward("30:00")
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")  # as a phone that wakes up
    assert page.locator("#alarm").is_hidden() and page.title() == "Bay" and page.evaluate("() => window.shaken") == 1


@pytest.mark.parametrize(
    ("view", "there"), [("Read", ".fuse .about"), ("Find", ".step, section"), ("Card", ".entry p")]
)
def test_on_paper_stands_what_was_said_and_nothing_to_tap(found: Any, camper: Served, view: str, there: str) -> None:
    page = paired_phone(found, camper, "Ida", view=view)
    page.emulate_media(media="print")
    assert page.locator(there).first.is_visible()
    assert not any(page.locator(hidden).first.is_visible() for hidden in ("#tabs", "main .taps button", ".zero"))
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 390


SMALL = """() => [...document.querySelectorAll('button, a, input, label.button')].filter(one => one.offsetParent || one.closest('#pad, #part'))
  .filter(one => one.checkVisibility()).map(one => [one.textContent, one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 47.9 || box.width < 47.9).map(([words]) => words)"""


@pytest.mark.parametrize(("width", "scheme"), [(320, "light"), (390, "dark")])
def test_what_is_seen_fits_and_can_be_hit_and_read(found: Any, truck: Served, width: int, scheme: str) -> None:
    page = paired_phone(found, truck, f"{scheme} {width}", view="Read", width=width, color_scheme=scheme)
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()

    def fits(view: str) -> None:
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width, view
        assert page.evaluate(SMALL) == [], view
        if width == 390:
            assert [its["id"] for its in axe.run(page).response["violations"]] == [], view

    for name in ("Relays", "Live data", "Networks", "Scan", "Codes", "Found", "Dead"):
        sub(page, name)
        page.wait_for_selector("main h2, .pick, .scan")
        if page.locator(".pick .job").count():
            page.locator(".pick .job").first.click()
        fits(name)
    sub(page, "Fuses")
    page.click(".fuse:has-text('BAT') button.about")
    fits("pad")
    page.click("#pad button:text-is('Close')")
    page.click(".fuse:has-text('F14') button.about")
    page.click("#pad button:text-is('A')")
    strip, pad = box_of(page.locator("#strip")), box_of(page.locator("#pad"))
    assert strip["y"] + strip["height"] <= pad["y"], "where it stands is in view above the pad"
    page.click("#pad [aria-label='What is F14?']")
    page.wait_for_selector("#part h3", timeout=60_000)
    fits("part")
    page.click("#part button:text-is('outgoing side')")
    page.wait_for_selector("#part h3:has-text('EXPECT')", timeout=60_000)
    fits("volts")


@pytest.mark.parametrize("width", [320, 390])
def test_the_shelf_fits_and_can_be_hit_and_read(found: Any, camper: Served, width: int) -> None:
    page = paired_phone(found, camper, "Ida", width=width)
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page.click("#tabs >> text=Jobs")
    for then, there in (
        ("text=Platforms, begin a job", ".job:has-text('Ostrey Dunlin')"),
        (".job:has-text('Ostrey Dunlin')", ".fuse"),
        ("text=Begin a job", "#ask-number"),
    ):
        page.click(then)
        page.wait_for_selector(there)
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width and page.evaluate(SMALL) == []
        assert [its["id"] for its in axe.run(page).response["violations"]] == [], then
