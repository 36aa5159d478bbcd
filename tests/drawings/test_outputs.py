"""SVG, PNG and PDF: the same bytes each time, only allowed elements, no type below 7 pt, no font except our own."""

import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from colorsys import rgb_to_hls
from pathlib import Path

import pytest

from circuitmap.drawings.files.pdf import pdf_of
from circuitmap.drawings.files.png import png_of
from circuitmap.drawings.files.sheets import LEAST_TYPE, fits_a_page, page_scale
from circuitmap.drawings.files.stacking import stacked
from circuitmap.drawings.files.svg import svg_of
from circuitmap.drawings.inking.ink import DrawnText
from circuitmap.drawings.scene.palette import (
    MARK_COLOURS,
    MARK_WORDS,
    WIRE_COLOURS,
    contrast_with_paper,
    faded,
    is_pale,
)
from tests.drawings.pages import drawn, sheets
from tests.drawings.picture_checks import ELEMENTS, extent
from tests.drawings.scenes import ALL, van, worst

ROOT = Path(__file__).parents[2]
ONCE = """
import sys, hashlib
from tests.drawings.scenes import ALL
from tests.drawings.pages import sheets
from circuitmap.drawings.files.pdf import pdf_of
from circuitmap.drawings.files.png import png_of
from circuitmap.drawings.files.stacking import stacked
from circuitmap.drawings.files.svg import svg_of
for name in ("van", "worst"):
    pages = sheets(ALL[name]())
    for data in (svg_of(stacked(pages)).encode(), png_of(stacked(pages), 0.5), pdf_of(pages)):
        print(hashlib.sha256(data).hexdigest())
"""


def test_the_same_drawing_gives_the_same_bytes_in_every_process() -> None:
    outputs = set()
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
        run = subprocess.run([sys.executable, "-c", ONCE], capture_output=True, env=environment, cwd=ROOT, check=True)
        outputs.add(run.stdout)
    assert len(outputs) == 1


@pytest.mark.parametrize("name", ALL)
def test_svg_holds_nothing_but_allowed_elements(name: str) -> None:
    text = svg_of(drawn(ALL[name]())[1])
    root = ElementTree.fromstring(text)
    assert {element.tag for element in root.iter()} <= {f"{{http://www.w3.org/2000/svg}}{name}" for name in ELEMENTS}
    assert "http" not in text.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert "style=" not in text and "url(" not in text


@pytest.mark.parametrize("name", ALL)
def test_type_is_seven_points_or_more_on_a4(name: str) -> None:
    for page in sheets(ALL[name]()):
        assert fits_a_page(page)
        _, scale = page_scale(page)
        assert min(ink.style.size for ink in page.ink if isinstance(ink, DrawnText)) * scale >= LEAST_TYPE - 1e-9


def test_png_is_drawn_with_our_font_where_no_font_is_installed() -> None:
    """If the text were missing or empty boxes, hiding it would not change the picture as much."""
    image = pytest.importorskip("PIL.Image")
    from io import BytesIO

    _, picture = drawn(van())
    shown = image.open(BytesIO(png_of(picture, 1.0))).convert("L")
    label = next(ink for ink in picture.ink if isinstance(ink, DrawnText) and ink.text == "CAB.F22")
    factor = shown.width / picture.width
    left, top, right, bottom = (round(side * factor) for side in extent(label))
    dark = [sum(shown.getpixel((x, y)) < 128 for y in range(top, bottom)) for x in range(left, right)]
    assert 0.1 < sum(dark) / (len(dark) * (bottom - top)) < 0.6
    assert len(set(dark)) > 4, "letters differ from column to column; a box would not"


def test_pdf_has_a_page_for_every_sheet_and_embeds_the_font(tmp_path: Path) -> None:
    pages = sheets(worst())
    data = pdf_of(pages)
    assert data.count(b"/Type /Page\n") == len(pages) > 1
    assert b"/FontFile2" in data and b"Lato" in data


def test_sheets_are_stacked_in_one_picture() -> None:
    pages = sheets(worst())
    one = stacked(pages)
    assert one.height > sum(page.height for page in pages) and one.width == max(page.width for page in pages)
    assert stacked(pages[:1]) is pages[0]


def test_states_are_seen_on_paper_and_in_grey() -> None:
    """3:1 for shapes and 4.5:1 for type: contrast ratios of WCAG 2."""
    assert all(contrast_with_paper(colour) >= 2.8 for colour in MARK_COLOURS.values())
    assert all(contrast_with_paper(colour) >= 4.5 for colour in MARK_WORDS.values())


def test_pale_wires_are_edged() -> None:
    assert {code for code, colour in WIRE_COLOURS.items() if is_pale(colour)} >= {"WH", "YE", "PK", "LB", "SR"}
    assert not any(is_pale(WIRE_COLOURS[code]) for code in ("BK", "BN", "RD", "GN", "BU", "VT"))
    layers = re.findall(r'stroke="#1a1a1a" stroke-width="4"', svg_of(drawn(van())[1]))
    assert layers, "the yellow and white wires of the van have a dark edge"


def test_faded_red_is_still_red_and_not_pink() -> None:
    """Fading makes a wire lighter; it never changes its hue, and red stays far from pink."""

    def channels(colour: str) -> tuple[float, float, float]:
        red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
        return red, green, blue

    for code, colour in WIRE_COLOURS.items():
        before, after = (rgb_to_hls(*channels(c)) for c in (colour, faded(colour)))
        assert after[1] >= before[1], code
        assert after[0] == pytest.approx(before[0], abs=0.02) or before[2] < 0.05, code
    red, pink = channels(faded(WIRE_COLOURS["RD"])), channels(WIRE_COLOURS["PK"])
    assert abs(red[1] - pink[1]) > 0.25
