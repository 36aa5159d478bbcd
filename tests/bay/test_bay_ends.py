"""Tests of one part, the battery, a log, the cause and what was mended by taps; and the phone's own back button, which
loses nothing."""

from typing import Any

import pytest

from circuitmap.flows.job import open_job
from tests.bay.phones import box_of, paired_phone, wait_until_empty
from tests.bay.served import Served
from tests.bay.test_bay_page import said
from tests.bay.test_bay_views import SMALL, cautions_above, pick, sub


def press(page: Any, digits: str, unit: str = "") -> None:
    """Keys of the number pad, with a caution above them."""
    if unit:
        page.click(f"#pad button:text-is('{unit}')")
    for digit in digits:
        page.click(f".keys button:text-is('{digit}')")
    page.click(".keys .main")


def caution_over_pad(page: Any) -> bool:
    care = page.locator("#pad .care")
    return bool(care.count() == 1 and box_of(care)["y"] < box_of(page.locator(".keys"))["y"])


def test_a_part_and_the_battery_are_tested_by_taps(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    sub(page, "Tests")
    page.wait_for_selector(".pick")
    assert page.locator(".pick:has-text('SDM')").count() == 0, "what is hands-off is not offered"
    pick(page, "HEATER")
    assert cautions_above(page) and page.locator("main .care:has-text('Probe from behind')").count() == 1
    page.click(".pick .taps button:text-is('inputs fine')")
    pick(page, "HEATER", "ground: volts lost")
    assert caution_over_pad(page)
    press(page, "80", "mV")
    sub(page, "Battery")
    rest = page.locator("main button:text-is('volts at rest')")
    assert box_of(page.locator("main .care").first)["y"] < box_of(rest)["y"]
    rest.click()
    assert caution_over_pad(page) and page.locator("#pad button:text-is('0.0')").count() == 0
    press(page, "12.45")
    page.click("main button:text-is('test failed')")
    page.click("main button:text-is('volts while charging')")
    assert "Engine running" in page.inner_text("#pad .care")
    press(page, "14.2")
    wait_until_empty(page)
    page.wait_for_selector("main:has-text('● rest 12.45V, test bad, charging 14.2V')")
    texts = "\n".join(said(camper))
    for written in ("HEATER inputs: fine", "HEATER ground: 80mV", "rest: 12.45V", "test: bad", "charging: 14.2V"):
        assert written in texts, texts
    assert open_job(camper.card).problems == () and page.errors == []


def test_the_figures_of_a_log_are_put_together_and_written_once(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    sub(page, "Log")
    page.wait_for_selector(".figures")
    assert page.locator("main .care").count() >= 1
    assert page.locator("text=Write the log down").count() == 0
    for words, digits, unit in (
        ("Lowest", "20", "mA"),
        ("Highest", "1.2", "A"),
        ("How long", "9", "h"),
        ("Mean", "0.1", "A"),
    ):
        page.click(f".figures button:has-text('{words}')")
        press(page, digits, unit)
    page.click("#tabs >> text=Find")
    page.go_back()
    page.wait_for_selector(".figures:has-text('20mA'):has-text('1.2A'):has-text('9h')")
    assert said(camper) == []
    page.click("text=Write the log down")
    wait_until_empty(page)
    [entry] = said(camper)
    assert "floor: 20mA" in entry and "peak: 1.2A" in entry and "for: 9h" in entry
    assert open_job(camper.card).problems == () and page.errors == []


def test_the_cause_and_what_was_mended_are_taps(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    page.click("main button:text-is('What it was')")
    page.fill("[placeholder='Find by name']", "pump")
    pick(page, "HAB.K1", "a contact is stuck closed")
    page.fill("#in-words", "welded")
    page.click("text=Write it down as the cause")
    page.click("main button:text-is('Mended')")
    page.wait_for_selector(".step .care")
    pick(page, "HAB.K1")
    assert cautions_above(page)
    page.click(".pick .taps button:text-is('renewed')")
    page.click("main button:text-is('Mended')")
    page.fill("#in-words", "the seal of the locker")
    page.click("text=This is still to be mended")
    wait_until_empty(page)
    texts = "\n".join(said(camper))
    for written in ("HAB.K1, welded; kind contact", "mended: HAB.K1 renewed", "to-mend: the seal of the locker"):
        assert written in texts, texts
    assert open_job(camper.card).problems == () and page.errors == []


def test_what_was_locked_earlier_counts_from_then(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    for _ in range(2):
        page.click("text=5 min earlier")
    page.wait_for_selector("text=it counts from")
    page.click("main button:text-is('locked')")
    page.click("main button:text-is('zeroed')")
    wait_until_empty(page)
    page.click("#tabs >> text=Card")
    page.wait_for_selector(".entry >> nth=2")
    at = {entry.state.value if entry.state else "zeroed": entry.at.value for entry in open_job(camper.card).card.entries
          if entry.id is not None and entry.at is not None}  # fmt: skip
    minutes = {
        word: sum(int(n) * k for n, k in zip(time[-8:].split(":"), (60, 1, 0), strict=True))
        for word, time in at.items()
    }
    assert (minutes["zeroed"] - minutes["locked"]) % 1440 in (10, 11), "only one tap is earlier; then it is now again"


def test_one_step_back_is_the_view_before(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    sub(page, "Relays")
    page.click("#tabs >> text=Card")
    page.fill("#typed", "remark half a sen")
    page.go_back()
    page.wait_for_selector("main .taps [aria-pressed=true]:text-is('Relays')")
    page.go_back()
    page.wait_for_selector(".fuse")
    page.go_forward()
    page.go_forward()
    page.wait_for_selector("#typed")
    assert page.input_value("#typed") == "remark half a sen"
    for _ in range(3):
        page.go_back()
    page.wait_for_selector(".entry, .fuse, .job")
    page.evaluate("() => history.go(-5)")
    page.wait_for_selector("#stands:text-is('Jobs')")
    page.click(f".job:has(b:text-is('{camper.title}'))")
    page.click("#tabs >> text=Card")
    page.wait_for_selector("#typed")
    assert page.input_value("#typed") == "remark half a sen" and page.errors == []


def test_one_step_back_closes_what_lies_over_a_view(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida", view="Read")
    sub(page, "Fuses")
    page.click(".fuse:has-text('F1') button.about")
    page.click("#pad [aria-label='What is F1?']")
    page.wait_for_selector("#part h3", timeout=60_000)
    page.go_back()
    page.wait_for_selector("#part", state="hidden")
    page.click(".fuse:has-text('F3') button.about")
    page.go_back()
    page.wait_for_selector("#pad", state="hidden")
    assert page.locator(".fuse").count() > 1
    page.click(".fuse:has-text('F3') button.about")
    page.click("#pad >> text=Close")
    page.click("#tabs >> text=Find")
    page.wait_for_selector(".step, section h2")
    page.go_back()
    page.wait_for_selector(".fuse")
    assert page.errors == []


def test_a_draft_is_there_again_after_going_back(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    page.click("#tabs >> text=Jobs")
    page.click("text=Platforms, begin a job")
    page.click(".job:has-text('Ostrey Dunlin')")
    page.click("main button:text-is('Begin a job')")
    page.fill("#ask-complaint", "flat after two nights")
    page.go_back()
    page.wait_for_selector(".fuse")
    page.go_back()
    page.wait_for_selector(".job:has-text('Ostrey Dunlin')")
    page.go_forward()
    page.wait_for_selector(".fuse")
    page.go_forward()
    page.wait_for_selector("#ask-complaint")
    assert page.input_value("#ask-complaint") == "flat after two nights"
    page.reload()
    page.wait_for_selector("#ask-complaint")
    assert page.input_value("#ask-complaint") == "flat after two nights" and page.errors == []


@pytest.mark.parametrize("width", [320, 390])
def test_the_new_taps_fit_and_can_be_hit(found: Any, camper: Served, width: int) -> None:
    page = paired_phone(found, camper, "Ida", view="Read", width=width)
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()

    def fits(what: str) -> None:
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width, what
        assert page.evaluate(SMALL) == [], what
        assert [its["id"] for its in axe.run(page).response["violations"]] == [], what

    for name in ("Tests", "Battery", "Log"):
        sub(page, name)
        page.wait_for_selector("main .pick, main h2, .figures")
        fits(name)
    page.click("#tabs >> text=Card")
    for words in ("What it was", "Mended"):
        page.click(f"main button:text-is('{words}')")
        page.wait_for_selector(".pick")
        fits(words)
        page.click("text=Not now")
