"""Widths of type, and how text is broken, shortened and cleaned."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitmap.drawings.lettering import lato_widths
from circuitmap.drawings.lettering.font_table import TABLE, font_file, table_text, widths_of
from circuitmap.drawings.lettering.text_width import (
    DESCRIPTION,
    NAME,
    Style,
    clean,
    lines_of,
    shorten,
    width_of,
)


def test_the_table_is_that_of_the_fonts() -> None:
    assert TABLE.read_text("utf-8") == table_text()
    assert widths_of("Regular") == lato_widths.REGULAR


def test_widths_agree_with_another_reader_of_the_font() -> None:
    """Pillow (FreeType) measures the same files; without kerning the sum of advances is the width."""
    ImageFont = pytest.importorskip("PIL.ImageFont")
    for weight, bold in (("Regular", False), ("Bold", True)):
        font = ImageFont.truetype(str(font_file(weight)), 1000, layout_engine=ImageFont.Layout.BASIC)
        for text in ("HEATER", "OG/BK 0.75", "Tail-lift control", "µ²"):
            measured = font.getlength(text, features=None)
            assert width_of(text, Style(1000, bold)) == pytest.approx(measured, rel=0.04)


@given(st.text(), st.floats(20, 300), st.integers(1, 4))
def test_lines_never_grow_wider_than_asked(text: str, width: float, at_most: int) -> None:
    lines = lines_of(text, DESCRIPTION, width, at_most)
    assert len(lines) <= at_most
    assert all(width_of(line, DESCRIPTION) <= width for line in lines)


@given(st.text())
def test_clean_text_can_be_written_as_xml_and_stays_clean(text: str) -> None:
    cleaned = clean(text)
    assert clean(cleaned) == cleaned
    cleaned.encode("utf-8")
    assert not any(ord(c) < 32 or ord(c) == 127 for c in cleaned)


def test_short_text_is_kept_as_it_is() -> None:
    assert shorten("CAB.F22", NAME, 100) == "CAB.F22"
    assert lines_of("Body computer", DESCRIPTION, 100, 2) == ("Body computer",)
    assert lines_of("Control unit for the door", DESCRIPTION, 62, 2) == ("Control unit for", "the door")
