"""Pictures of every view of the bay page, to be looked at: `python -m tests.bay.screenshots FOLDER`.

At the width of a phone and on a desk, light and dark, on copies of the samples; nothing of the samples is changed.
"""

import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from shutil import copytree
from typing import Any

from tests.bay.cameras import camera
from tests.bay.served import ROOT, Served
from tests.pages.browser import browser

SIZES = ((390, 844), (1280, 800))
SCHEMES = ("light", "dark")
SEEN = ("Relays", "Live data", "Networks", "Scan", "Codes", "Found", "Tests", "Battery", "Log")
VIEWS = ("Read", "Find", "Picture", "Card", "Report")

Step = Callable[[Any], None]


def steps() -> Iterator[tuple[str, Step]]:
    """Each view by a name, and how to come there from the one before it."""
    yield "jobs", lambda page: page.wait_for_selector("text=Platforms, begin a job", timeout=60_000)
    yield "platforms", lambda page: _tap(page, "text=Platforms, begin a job", ".job:has-text('fuses')")
    yield "platform", lambda page: _tap(page, ".job:has-text('fuses'):has-text('Linnet')", ".fuse")
    yield "platform-part", lambda page: _tap(page, ".fuse:has-text('F33') button", "#part h3")
    yield "begin", _begin
    yield "job", _job
    for name in VIEWS:
        yield name, lambda page, name=name: _view(page, name)
    yield "pad", lambda page: _pad(page, "mV")
    yield "pad-current", lambda page: _tap(page, "#pad button:text-is('A')", "#pad button:has-text('in series')")
    for name in SEEN:
        yield name.replace(" ", "-"), lambda page, name=name: _seen(page, name)
    for words in ("What it was", "Mended"):
        yield words.replace(" ", "-"), lambda page, words=words: _end(page, words)
    yield "part", _part
    yield "photo", _photo
    yield "dead-chosen", _dead_chosen
    yield "dead-found", lambda page: _view(page, "Find")
    yield "dead-pad", lambda page: _tap(page, "text=Another value", "#pad .keys")
    yield "volts-here", lambda page: _volts_here(page, "text=What should I read here?")
    yield "volts-drawn", lambda page: _tap(page, "#part >> text=On the drawing", ".picture")
    yield "volts-part", _volts_part
    yield "typing", _typing
    yield "typing-sheet", _typing_sheet


def _tap(page: Any, what: str, then: str) -> None:
    page.locator(what).first.click()
    page.wait_for_selector(then, timeout=60_000)


def _begin(page: Any) -> None:
    page.click("#part button:text-is('Close')")
    _tap(page, "text=Begin a job", "#ask-complaint")
    page.fill("#ask-complaint", "flat after a weekend")
    page.locator("button:text-is('has it')").first.click()


def _job(page: Any) -> None:
    page.click("text=Back to the fuses")
    page.click("text=Back to the jobs")
    page.click("main button:text-is('Jobs')")
    _tap(page, ".job:has-text('job 0412')", ".fuse")


def _view(page: Any, name: str) -> None:
    page.click(f"#tabs >> text={name}")
    if name == "Picture":
        page.wait_for_selector(".picture", timeout=60_000)


def _pad(page: Any, unit: str) -> None:
    _view(page, "Read")
    page.locator("button.about:not(:has-text('BAT'))").nth(3).click()
    page.locator(f"#pad button:text-is('{unit}')").click()


def _seen(page: Any, name: str) -> None:
    if page.locator("#pad button:text-is('Close')").count():
        page.click("#pad button:text-is('Close')")
    _view(page, "Read")
    page.click(f".taps >> button:text-is('{name}')")
    page.wait_for_timeout(500)
    if page.locator(".pick .job").count():
        page.locator(".pick .job").first.click()


def _end(page: Any, words: str) -> None:
    _view(page, "Card")
    if page.locator("text=Not now").count():
        page.click("text=Not now")
    _tap(page, f"main button:text-is('{words}')", ".pick")
    page.locator(".pick .job").first.click()


def _part(page: Any) -> None:
    _view(page, "Picture")
    page.wait_for_selector(".picture", timeout=60_000)
    page.locator(".picture g[data-part]").first.click(force=True)
    page.wait_for_selector("#part h3", timeout=60_000)


def _photo(page: Any) -> None:
    page.click("#part button:text-is('Close')")
    _view(page, "Card")
    page.click("text=Not now")
    page.locator("input[type=file]").first.set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": camera()}
    )
    page.wait_for_selector("#shows")


def _dead_chosen(page: Any) -> None:
    """What does not work on another car, and what does, before it is written down."""
    if page.locator("text=Do not keep it").count():
        page.click("text=Do not keep it")
    page.click("#tabs >> text=Jobs")
    _tap(page, ".job:has-text('job 0399')", ".fuse")
    page.click(".taps >> button:text-is('Dead')")
    page.wait_for_selector(".pick", timeout=60_000)
    if page.locator("[aria-pressed=false]:text-is('run')").count():
        page.click("button:text-is('run')")
    for name, words in (("LOCKS", "works"), ("LOCKR", "does not work")):
        page.click(f".pick .job:has(b:text-is('{name}'))")
        page.click(f".pick button:text-is('{words}')")


def _volts_here(page: Any, what: str) -> None:
    page.click("#pad button:text-is('Close')")
    _tap(page, what, "#part .way")


def _volts_part(page: Any) -> None:
    page.locator(".taps button:text-is('REAR.F72')").first.click()
    page.wait_for_selector("#part >> text=outgoing side", timeout=60_000)


def _typing(page: Any) -> None:
    page.goto(page.url.partition("#")[0].rstrip("/") + "/typing")
    page.wait_for_selector("#platform-name", timeout=60_000)


def _typing_sheet(page: Any) -> None:
    """A sheet with a slip, an open end and a question about a short line."""
    page.click(".job:has-text('Tarn Hauler')")
    page.wait_for_selector(".picture", timeout=60_000)
    page.fill("#text", page.input_value("#text") + 'F6 -> NOBODY.1 in RDX 1\nF7 -> ? "goes on"\n')
    page.wait_for_selector("#open", timeout=60_000)
    page.fill("#short", "f6 nobody gnye")
    page.press("#short", "Enter")
    page.wait_for_selector(".asked", timeout=60_000)


_DEAD = """\
job: "0399"
platform: ..
vehicle: Marlow Linnet 2.2 delivery van
complaint: the rear screens stay fogged
absent: [TOW]
entries:
  - {at: "09:00", dead: ["SCRL@key=run", "SCRR@key=run"], works: ["MIRL@key=run", "MIRR@key=run"]}
  - {at: "09:10", probed: {F72.2: 0.02V}}
"""


def main(out: Path) -> None:
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as room, browser() as found:
        for name in ("truck", "van"):
            copytree(ROOT / "sample_vehicles" / name, Path(room) / name)
        card = Path(room) / "truck" / "jobs" / "0412.yaml"
        text = card.read_text("utf-8")
        card.write_text(text[: text.rindex("\n  - ", 0, text.index("out:"))] + "\n", "utf-8")
        (Path(room) / "van" / "jobs" / "0399.yaml").write_text(_DEAD, "utf-8")
        server = Served(Path(room))
        server.start()
        try:
            for width, height in SIZES:
                for scheme in SCHEMES:
                    _all_of(found, server, out, (width, height), scheme)
        finally:
            server.kill()


def _all_of(found: Any, server: Served, out: Path, size: tuple[int, int], scheme: str) -> None:
    width, height = size
    context = found.new_context(viewport={"width": width, "height": height}, has_touch=True, color_scheme=scheme)
    page = context.new_page()
    code = server.code()
    page.goto(f"{server.base}#pair={code}")
    page.screenshot(path=out / f"{width}-{scheme}-00-pair.png")
    page.fill("#name", "Ida")
    page.click("main button.main")
    server.next_code(code)
    for number, (name, step) in enumerate(steps(), 1):
        step(page)
        page.wait_for_timeout(200)
        page.screenshot(path=out / f"{width}-{scheme}-{number:02}-{name}.png")
    context.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
