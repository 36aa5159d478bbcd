"""The page in a real browser at phone width: few taps, large targets, readable, and it goes on without a line."""

import re
from typing import Any

import pytest

from circuitmap.jobs.job import card_source, read_within_limits
from tests.bay.phones import box_of, paired_phone, wait_until_empty
from tests.bay.served import ROOT, Served

VIEWS = ("Read", "Find", "Picture", "Card", "Report")
HOSTILE = """"><img src=//evil.example/x onerror=alert(1)><script>alert(2)</script>{{7*7}} ${1}"""


def said(server: Served) -> list[str]:
    """What the card's entries say that phones wrote, as they stand in its text."""
    card, problems = read_within_limits(card_source(server.card))
    assert not problems
    its = [entry for entry in card.entries if entry.id is not None]
    return [card.source.text[entry.span.start : entry.span.end] for entry in its]


def test_a_quiet_fuse_is_one_tap_and_a_reading_five(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    page.click(".fuse:has-text('F1') .zero")
    wait_until_empty(page)
    page.wait_for_selector(".fuse.quiet:has-text('F1')")
    page.click(".fuse:has-text('F3') button.about")
    for key in ("0", ".", "6"):
        page.click(f".keys button:text-is('{key}')")
    strip = box_of(page.locator("#strip"))
    pad = box_of(page.locator("#pad"))
    assert strip["y"] >= 0 and strip["y"] + strip["height"] <= pad["y"], "where it stands is in view above the pad"
    page.click(".keys .main")
    page.wait_for_selector(".fuse.draws:has-text('F3'):has-text('0.6mV  Ida')")
    assert ["F1: 0.0mV" in its for its in said(camper)] == [True, False] and "F3: 0.6mV" in said(camper)[1]
    assert page.errors == [] and all(url.startswith((camper.base, "data:", "blob:")) for url in page.asked)


def test_the_unit_is_remembered_and_the_next_fuse_comes_by_itself(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    page.click(".fuse:has-text('F1') button.about")
    page.click("#pad >> text=mA")
    page.click(".keys button:text-is('9')")
    page.click(".keys .main")
    assert page.inner_text(".reading").startswith("F3"), "F2 is hands-off, F4 is empty"
    assert page.inner_text("#pad [aria-pressed=true]") == "mA"


def test_all_the_rest_is_asked_once_more(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    page.click("text=All the rest 0.0 (2)")
    page.click("text=Tap again")
    wait_until_empty(page)
    page.wait_for_selector(".fuse.quiet:has-text('F3')")
    assert len(said(camper)) == 1 and "F1: 0.0mV" in said(camper)[0] and "F2" not in said(camper)[0]


def test_nothing_that_is_hands_off_can_be_tapped(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    row = page.locator(".fuse:has-text('F2')")
    assert "HANDS OFF: restraint or pyrotechnic" in row.inner_text() and row.locator("button").count() == 0


def test_a_caution_stands_above_the_buttons_and_an_outcome_is_one_tap(found: Any, truck: Served) -> None:
    page = paired_phone(found, truck, "Ida", view="Find")
    step = page.locator(".step >> nth=0")
    cautions, first = step.locator(".care"), step.locator("button >> nth=0")
    assert cautions.count() >= 1
    for number in range(cautions.count()):
        assert box_of(cautions.nth(number))["y"] < box_of(first)["y"]
    out = step.locator("h2").inner_text()
    step.locator("text=It is out now").click()
    page.wait_for_selector("text=The draw is gone")
    wait_until_empty(page)
    page.click("text=No change")
    wait_until_empty(page)
    texts = said(truck)
    part = re.search(r"(?:Unplug|Take|relay|connector) (?:\w+\.)?(\w+)", out)[1]  # type: ignore[index]
    assert part in texts[-2] and "change: no change" in texts[-1]  # type: ignore[index]
    assert page.errors == []


def test_without_a_line_it_goes_on_and_then_all_is_on_the_card(found: Any, own_truck: Served) -> None:
    page = paired_phone(found, own_truck, "Tom", view="Card")
    page.wait_for_selector("body[data-ahead]", timeout=60_000)
    own_truck.kill()
    before = len(said(own_truck))
    page.fill("#typed", "remark typed without a line")
    page.click("text=Write it down")
    page.wait_for_selector("#line:has-text('1 waits on this phone')")
    page.wait_for_selector("#line:has-text('No line to the desk')")
    page.click("#tabs >> text=Find")
    if page.locator("text=It is out now").count():
        page.locator("text=It is out now >> nth=0").click()
    stood = page.inner_text("#stands") + page.inner_text("#todo")
    tap = page.locator(".outcomes button >> nth=0")
    tap.click()
    page.wait_for_selector("#line:has-text('Worked out ahead')")
    assert page.inner_text("#stands") + page.inner_text("#todo") != stood, "the next step is shown without a line"
    again = page.context.new_page()
    again.goto(page.url)  # a new page opens although nobody answers
    again.wait_for_selector("#line:has-text('wait on this phone')")
    again.close()
    own_truck.start()
    page.wait_for_selector("#line:not(:has-text('on this phone'))", state="attached", timeout=60_000)
    assert any("typed without a line" in its for its in said(own_truck)) and len(said(own_truck)) >= before + 2


def test_the_drawing_comes_and_is_zoomed_in_its_own_frame(found: Any, truck: Served) -> None:
    page = paired_phone(found, truck, "Ida", view="Picture")
    page.wait_for_selector(".picture", timeout=60_000)
    before = box_of(page.locator(".picture"))["width"]
    drawn = page.evaluate("() => Number(document.querySelector('.picture').dataset.natural)")
    assert before == pytest.approx(drawn, abs=2) and drawn > 390  # readable at once
    page.click("text=Larger")
    assert box_of(page.locator(".picture"))["width"] == pytest.approx(1.5 * before, abs=1)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 390 and page.errors == []
    assert page.locator("text=It is being drawn.").count() == 0


def test_a_tap_is_not_lost_when_the_answer_comes_between_down_and_up(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    other = paired_phone(found, camper, "Tom", view="Read")
    zero = page.locator(".fuse:has-text('F1') .zero")
    zero.evaluate("button => button.scrollIntoView({ block: 'center' })")
    box = box_of(zero)
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    other.click(".fuse:has-text('F3') .zero")
    wait_until_empty(other)
    other.wait_for_selector(".fuse.quiet:has-text('F3')")
    while page.evaluate(KEPT) < 2:  # the answer has come, and is not drawn yet
        page.wait_for_timeout(20)
    page.mouse.up()
    page.wait_for_selector(".fuse.quiet:has-text('F1')")
    page.wait_for_selector(".fuse.quiet:has-text('F3')")
    assert len(said(camper)) == 2


KEPT = """() => new Promise(done => { const asked = indexedDB.open('bay'); asked.onsuccess = () => {
  const got = asked.result.transaction('kept').objectStore('kept').get(`answer ${location.hash.slice(1).split('/')[0]}`)
  got.onsuccess = () => { asked.result.close(); done(got.result ? got.result.entries.length : 0) } } })"""
"""How many entries the last answer has that the phone has kept."""


def test_typed_words_outlive_what_somebody_else_writes_and_the_page(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Card")
    other = paired_phone(found, camper, "Tom", view="Read")
    page.fill("#typed", "remark the socket is wet")
    page.locator("#typed").blur()
    other.click(".fuse:has-text('F3') .zero")
    page.wait_for_selector(".entry:has-text('F3')")
    assert page.input_value("#typed") == "remark the socket is wet"
    page.reload()
    page.wait_for_selector("#typed")
    assert page.input_value("#typed") == "remark the socket is wet"
    page.click("text=Write it down")
    wait_until_empty(page)
    assert "socket" in said(camper)[1] and page.input_value("#typed") == ""


def test_a_phone_that_cannot_keep_anything_says_so_and_sends(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Card")
    full = "() => { throw new DOMException('full', 'QuotaExceededError') }"
    page.evaluate(f"() => {{ IDBObjectStore.prototype.put = {full} }}")
    page.fill("#typed", "remark the phone is full")
    page.click("text=Write it down")
    page.wait_for_selector("#line:has-text('This phone cannot keep it')")
    wait_until_empty(page)
    assert "the phone is full" in said(camper)[0] and page.errors == []


def test_what_the_card_refuses_stays_on_the_phone(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    page.fill("#typed", "F99=0.6mV")
    page.click("text=Write it down")
    page.wait_for_selector(".waits:has-text('Not taken'):has-text('F99=0.6mV')")
    page.wait_for_selector("#line:has-text('1 not taken')")
    assert said(camper) == []
    page.click("text=Keep as a remark")
    page.wait_for_selector(".entry:not(.waits):has-text('F99=0.6mV')")
    assert "remark" in said(camper)[0]


def test_what_somebody_else_writes_appears_with_the_name(found: Any, camper: Served) -> None:
    ida, tom = (paired_phone(found, camper, who) for who in ("Ida", "Tom"))
    ida.fill("#typed", "remark seen by Ida")
    ida.click("text=Write it down")
    tom.wait_for_selector(".entry:has-text('seen by Ida') b:has-text('Ida')")
    tom.click(".entry:has-text('seen by Ida') >> text=Strike")
    tom.fill("[placeholder='Why is it wrong?']", "was not so")
    tom.click("text=Strike it")
    ida.wait_for_selector(".struck:has-text('was not so (Tom)')")


def test_hostile_words_are_words(found: Any, camper: Served) -> None:
    card, quoted = camper.card, HOSTILE.replace('"', '\\"')
    card.write_text(
        card.read_text().replace("blue one", f'"{quoted}"') + f'  - {{at: "2026-02-03 09:30", remark: "{quoted}"}}\n'
    )
    page = paired_phone(found, camper, "Ida")
    page.fill("#typed", f"remark {HOSTILE}")
    page.click("text=Write it down")
    wait_until_empty(page)
    page.wait_for_selector(f"text={HOSTILE[:20]}")
    assert page.locator("main img, main script").count() == 0 and page.errors == []
    assert all(url.startswith((camper.base, "data:")) for url in page.asked)
    page.goto(page.url.partition("#")[0] + "plain/" + page.url.partition("#")[2].partition("/")[0])
    assert page.locator("img, script").count() == 0 and HOSTILE[:20] in page.inner_text("main")


@pytest.mark.parametrize(("width", "scheme"), [(320, "light"), (390, "light"), (390, "dark"), (430, "dark")])
def test_every_view_fits_and_can_be_hit_and_read(found: Any, truck: Served, width: int, scheme: str) -> None:
    page = paired_phone(found, truck, f"{scheme} {width}", view="Read", width=width, color_scheme=scheme)
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    for view in VIEWS:
        page.click(f"#tabs >> text={view}")
        page.wait_for_selector(".picture" if view == "Picture" else "main > *", timeout=60_000)
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width, view
        small = page.evaluate(
            """() => [...document.querySelectorAll('button, a, input')].filter(one => one.offsetParent)
                .map(one => [one.textContent, one.getBoundingClientRect()])
                .filter(([, box]) => box.height < 48 || box.width < 48).map(([words]) => words)"""
        )
        assert small == [], view
        if width == 390:
            assert [its["id"] for its in axe.run(page).response["violations"]] == [], view
    page.click("#tabs >> text=Read")
    assert min(page.evaluate(CONTRAST)) >= 7.0


CONTRAST = """() => {
  const light = text => { const [r, g, b] = text.match(/[0-9.]+/g).map(Number).map(v => v / 255)
    .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b }
  const behind = one => { for (; one; one = one.parentElement) { const c = getComputedStyle(one).backgroundColor
    if (!/, 0\\)$/.test(c)) return c } return 'rgb(255, 255, 255)' }
  return [...document.querySelectorAll('.fuse b, .fuse span, #strip p')].filter(one => one.textContent).map(one => {
    const [a, b] = [light(getComputedStyle(one).color), light(behind(one))].sort((x, y) => y - x)
    return (a + 0.05) / (b + 0.05) }) }"""
"""Relative luminance and contrast as WCAG 2.2 defines them (seen)."""


def test_the_page_is_small() -> None:
    files = (ROOT / "circuitmap" / "web" / "page").iterdir()
    assert sum(len(file.read_bytes()) for file in files) <= 80_000
