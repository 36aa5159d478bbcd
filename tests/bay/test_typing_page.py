"""The typing page in a real browser: a whole sheet typed in few keys, seen and drawn as it is typed, written down once,
and never over what somebody else wrote."""

import re
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from shutil import rmtree
from typing import Any

import httpx
import pytest
from PIL import Image

from circuitmap.flows.questions import open_bench, open_platform
from circuitmap.flows.sheet_pictures import SheetPictures
from circuitmap.notation.statements import WireStatement
from tests.bay.served import Served
from tests.bay.typing_pages import TypingPlaces, drawn_text
from tests.drawings.joins import sheets_compared
from tests.transcribing.typing_shop import FORTY, HEADING, begun_shop
from tests.transcribing.typist import Typist, declared_only, keys, read, wires_by_sheet


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    its = tmp_path_factory.mktemp("shop")
    begun_shop(its)
    return its


@pytest.fixture(scope="module")
def server(shop: Path) -> Iterator[Served]:
    its = Served(shop)
    its.start()
    yield its
    its.kill()


@pytest.fixture(scope="module")
def desk(browser_there: Any, server: Served) -> TypingPlaces:
    return TypingPlaces(browser_there, server)


@pytest.fixture
def file(shop: Path) -> Path:
    """The platform as it is before its wires are typed in, and no other."""
    for folder in [path for path in shop.iterdir() if path.is_dir()]:
        rmtree(folder)
    return begun_shop(shop)


def short_lines() -> list[tuple[WireStatement, str]]:
    """The forty wires as somebody types them, by rule."""
    _, platform = declared_only(FORTY.parent)
    typist = Typist(platform)
    sheets = list(wires_by_sheet(read(FORTY.parent)[1]))
    return [(statement, typist.line(statement)) for statement in sheets[-1]]


def type_line(page: Any, line: str) -> None:
    page.keyboard.type(line)
    page.keyboard.press("Enter")
    until(lambda: page.input_value("#short") == "" or page.locator(".asked").count() > 0)


def until(true: Callable[[], bool], seconds: float = 30.0) -> None:
    ends = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < ends
        time.sleep(0.005)


def texts_in(svg: str) -> Counter[str]:
    return Counter(re.findall(r"<text[^>]*>([^<]*)</text>", svg))


def test_a_sheet_of_forty_wires_is_typed_in_few_keys(desk: TypingPlaces, file: Path) -> None:
    page = desk.page()
    page.click("#short")
    pressed = 0
    for statement, line in short_lines():
        type_line(page, line)
        pressed += keys(line)
        while page.locator(".asked").count():
            right = set(statement.span.text.replace(",", " ").split())
            choices = [text.split()[1] for text in page.locator(".asked button").all_inner_texts()]
            [number] = [number for number, choice in enumerate(choices, 1) if choice in right]
            page.keyboard.press(str(number))
            pressed += 1
            page.wait_for_selector(".asked", state="detached")
    page.keyboard.press("Control+s")
    pressed += 2
    page.wait_for_selector("#line:has-text('Saved to plover.circuit.')")
    there, by_hand = open_platform(file.parent), open_platform(FORTY.parent)
    assert there.wires == by_hand.wires and there.parts.keys() == by_hand.parts.keys()
    wires = len([wire for wire in there.wires if wire.kind == "wire"])
    assert wires == 40 and pressed / wires <= 17, pressed
    # What is drawn: the names, numbers and colours of the page's drawing are those of the circuit's, whose ink joins
    # what the wires of the sheet join.
    drawn_text(page, "WL2")
    until(lambda: page.evaluate("() => document.body.dataset.drawn === document.body.dataset.tried"))
    shown = page.evaluate("() => new XMLSerializer().serializeToString(document.querySelector('.picture'))")
    bench = open_bench(FORTY.parent)
    pictures = SheetPictures()
    assert texts_in(shown) == texts_in(pictures.svg(bench, "61-02").decode())
    pictures.close()
    [(_, compared)] = sheets_compared(bench)
    assert not compared.wrong and not compared.missing
    assert page.errors == [] and all(url.startswith((desk.server.base, "data:", "blob:")) for url in page.asked)


def test_problems_and_open_ends_are_seen_as_they_are_typed(desk: TypingPlaces, file: Path) -> None:
    page = desk.page()
    page.click("#text")
    page.keyboard.press("Control+End")
    page.keyboard.type('FRM.F40 -> X61.1 -> LIFT.A1 in RDX 10\nLIFT.A8 -> ? "on sheet 90"\nFRM.F41 -> NOBODY.3 in RD')
    page.wait_for_selector(".margin b.error[data-line='2']")
    page.wait_for_selector("#open:has-text('LIFT.A8: on sheet 90')")
    page.click("#undeclared button:has-text('NOBODY')")
    page.wait_for_selector("#undeclared", state="detached")
    assert "\nmodule NOBODY\nFRM.F40" in page.input_value("#text")
    page.click("#wrong button:has-text('line 3')")
    drawn_text(page, "NOBODY")
    page.wait_for_selector("#at-caret:not(:empty)")
    assert file.read_text().endswith(HEADING), "nothing is written before somebody says so"
    assert page.errors == []


def test_what_is_not_saved_outlives_the_page(desk: TypingPlaces, file: Path) -> None:
    page = desk.page()
    page.fill("#text", HEADING + "FRM.F40 -> X61.1 in RD 10\n")
    page.wait_for_selector("#line:has-text('Not saved yet.')")
    again = page.context.new_page()
    again.goto(page.url)
    again.wait_for_selector("#line:has-text('Not saved yet.')")
    assert again.input_value("#text") == HEADING + "FRM.F40 -> X61.1 in RD 10\n"
    again.click("#save")
    again.wait_for_selector("#line:has-text('Saved to')")
    assert file.read_text().endswith("FRM.F40 -> X61.1 in RD 10\n")


def test_what_somebody_else_writes_appears_or_is_put_together(desk: TypingPlaces, file: Path) -> None:
    page = desk.page()
    file.write_text(file.read_text() + "FRM.F42 -> LL1 in OG 1\n")
    drawn_text(page, "LL1")
    assert page.input_value("#text").endswith("FRM.F42 -> LL1 in OG 1\n"), "nothing of ours was there"
    page.click("#text")
    page.keyboard.press("Control+End")
    page.keyboard.type("FRM.F43 -> WL1 in GN 1\n")
    file.write_text(file.read_text() + "FRM.F42 -> LL2 in OG 1\n")
    page.keyboard.press("Control+s")
    page.wait_for_selector(".changed")
    assert "LL2" in file.read_text() and "WL1 in GN 1" not in file.read_text()
    page.click("text=Put both together")
    page.wait_for_selector(".changed", state="detached")
    page.click("#save")
    page.wait_for_selector("#line:has-text('Saved to')")
    assert "LL2 in OG 1" in file.read_text() and "WL1 in GN 1" in file.read_text()


def test_a_table_is_confirmed_before_anything_of_it_is_in_the_text(desk: TypingPlaces, file: Path) -> None:
    page = desk.page()
    page.click("#table summary")
    page.fill("#pasted", "No\tAmp\tWhat\nF50\t10\theater\nF51\t15\tradio\n")
    page.fill("label:has-text('Box of the fuses') input", "FRM")
    page.click("text=Read the table")
    page.wait_for_selector("#columns:has-text('A fuse chart, 2 rows')")
    assert "F50" not in page.input_value("#text")
    page.click("text=This is right")
    page.click("text=Put 2 lines below the text")
    assert 'FRM.F50 10A "heater"' in page.input_value("#text") and "copied" in page.input_value("#text")


def test_a_sister_is_checked_off_with_one_key_a_line(desk: TypingPlaces, file: Path) -> None:
    file.write_text(FORTY.read_text("utf-8"))
    page = desk.page()
    page.click("text=Other platforms")
    page.fill("#platform-name", "Wickmere Plover 7-tonner")
    page.select_option("#sister", index=1)
    page.click("main button.main")
    page.wait_for_selector("h2:has-text('Copied, to be checked against the paper')")
    page.wait_for_selector(".statement:has-text('FRM.B1')")
    page.focus("#copied .step")
    many = int(re.sub(r"\D", "", page.inner_text("#copied h2")))
    for _ in range(many):
        page.keyboard.press("s")
    page.wait_for_selector("h2:has-text('Nothing is left to check on this sheet')", timeout=60_000)
    new = file.parent.parent / "wickmere_plover_7_tonner" / "plover.circuit"
    page.wait_for_selector("#copied:not(:has-text('being saved'))", timeout=60_000)
    sheet = new.read_text()[new.read_text().index("sheet ") :]
    assert "copied" not in sheet and sheet.strip() == file.read_text()[file.read_text().index(HEADING) :].strip()
    assert page.errors == []


@pytest.mark.parametrize("kind", [pytest.param("png", marks=pytest.mark.on_demand), "pdf"])
def test_the_paper_lies_beside_the_text(desk: TypingPlaces, file: Path, kind: str) -> None:
    (file.parent / "paper").mkdir()
    image = Image.new("RGB", (600, 400), "white")
    image.save(file.parent / "paper" / f"61-02 lift.{kind}")
    page = desk.page()
    there = page.wait_for_selector("img.paper" if kind == "png" else "iframe.paper")
    if kind == "png":
        page.wait_for_selector("img.paper")
        assert page.evaluate("() => document.querySelector('img.paper').naturalWidth") == 600
    else:
        assert there.get_attribute("src").endswith("#page=1&navpanes=0&view=FitH")
        answer = page.evaluate(
            "async () => { const its = await fetch(document.querySelector('iframe.paper').src); return [its.status, its.headers.get('content-type')] }"
        )
        assert answer == [200, "application/pdf"]
    assert page.errors == []


HOSTILE = """"><img src=//evil.example/x onerror=alert(1)><script>alert(2)</script>"""


def test_whatever_stands_in_a_text_stays_text(desk: TypingPlaces, file: Path) -> None:
    page = desk.page()
    page.fill(
        "#text",
        f'{HEADING}FRM.F40 -> ? "<img src=x onerror=alert(1)>"\nFRM.F41 -> {HOSTILE}\nlamp L9 "<b>bold</b>"\nFRM.F42 -> L9 in RD\n',
    )
    page.fill("#short", HOSTILE)
    drawn_text(page, "<b>bold</b>")
    page.wait_for_selector("#open:has-text('<img src=x')")
    assert page.locator("main img, main script, main b:text-is('bold')").count() == 0
    assert page.errors == [] and not [url for url in page.asked if "evil" in url]


OTHERS = pytest.mark.on_demand


@pytest.mark.parametrize(
    ("width", "scheme"),
    [
        (1366, "light"),
        pytest.param(1366, "dark", marks=OTHERS),
        pytest.param(390, "light", marks=OTHERS),
        (320, "dark"),
    ],
)
def test_it_fits_and_can_be_hit_and_read(desk: TypingPlaces, file: Path, width: int, scheme: str) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page = desk.page(width=width, color_scheme=scheme)
    page.fill("#text", HEADING + 'FRM.F40 -> ? "x"\nFRM.F41 -> NOBODY in RDX\n')
    page.fill("#short", "f40 x61.1 gnye")
    page.press("#short", "Enter")
    page.wait_for_selector(".asked")
    page.wait_for_selector("#open")
    for summary in page.locator("summary").all():
        if not summary.evaluate("one => one.parentElement.open"):
            summary.click()
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    assert [its["id"] for its in axe.run(page).response["violations"]] == []


def test_the_page_is_small() -> None:
    files = (Path(__file__).parents[2] / "circuitmap" / "web" / "typing").iterdir()
    assert sum(len(file.read_bytes()) for file in files) <= 45_000


# ---- who may ----


def test_only_a_paired_device_may_type(server: Served) -> None:
    with httpx.Client(base_url=server.base, headers={"Origin": server.base.rstrip("/")}) as stranger:
        for path in ("typing", "typing/x", "typing/x/copied", "typing/sisters", "typing/drawing/x", "paper/x"):
            assert stranger.get(f"/platforms/x/{path}").status_code == 401, path
        for path in (
            "",
            "/x/typing",
            *(f"/x/typing/y/{its}" for its in ("try", "save", "together", "lines", "table", "template", "check")),
        ):
            assert stranger.post(f"/platforms{path}", json={}).status_code == 401, path
        page = stranger.get("/typing")
        assert page.status_code == 200 and "frame-src 'self'" in page.headers["content-security-policy"]
        assert "unsafe" not in page.headers["content-security-policy"] and '<script type="module"' in page.text
        assert "frame-src" not in stranger.get("/").headers["content-security-policy"]


@pytest.mark.parametrize(
    ("what", "said", "status"),
    [
        ("try", {"text": 1}, 400), ("try", {"text": "x" * 200_001}, 400), ("save", {"base": "", "text": ""}, 409),
        ("lines", {"text": "", "typed": "f40", "settled": []}, 400), ("lines", {"text": "", "typed": "f40", "settled": {"x": "y"}}, 400),
        ("table", {"text": "", "table": "a;b", "headed": 3}, 400), ("table", {"text": "", "table": "a"}, 400),
        ("table", {"text": "", "table": "a;b", "columns": ["slot"]}, 400), ("template", {"word": "x", "name": "y"}, 400),
        ("check", {"says": "", "answer": "x"}, 400), ("check", {"says": "", "answer": "same"}, 400), ("nothing", {}, 405),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused_with_a_reason(
    server: Served, file: Path, what: str, said: object, status: int
) -> None:
    before = file.read_bytes()
    base = server.base
    with httpx.Client(base_url=base, headers={"Origin": base.rstrip("/")}, timeout=60) as desk:
        code = server.code()
        assert desk.post("/pair", json={"code": code, "name": f"Tom {what}"}).status_code == 200
        server.next_code(code)
        key = desk.get("/platforms").json()["platforms"][0]["key"]
        piece = next(its for its in desk.get(f"/platforms/{key}/typing").json()["pieces"] if its["sheet"])["key"]
        answer = desk.post(f"/platforms/{key}/typing/{piece}/{what}", json=said)
        assert answer.status_code == status or (what == "nothing" and answer.status_code in (404, 405)), answer.text
        assert what == "nothing" or answer.json()["why"]
    assert file.read_bytes() == before


def test_without_a_line_it_is_kept_and_looked_through_later(desk: TypingPlaces, file: Path) -> None:
    page = desk.page()
    page.route("**/typing/**", lambda route: route.abort())
    page.fill("#text", HEADING + "FRM.F40 -> X61.1 in RDX 10\n")
    page.wait_for_selector("#line:has-text('No line to the desk')")
    assert file.read_text().endswith(HEADING)
    page.unroute("**/typing/**")
    page.wait_for_selector(".margin b.error[data-line='2']")
    page.wait_for_selector("#line:not(:has-text('No line'))")
