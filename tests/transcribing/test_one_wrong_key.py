"""One wrong key in a short line is seen at once more often than not, and is not worse than in plain typing; the page says
what was counted."""

import re

import pytest

from tests.transcribing.one_wrong_key import PAGE, TRIES, Slips, counted, page_of


@pytest.fixture(scope="module")
def few() -> Slips:
    """The first ones of those on the page."""
    return counted(32)


def test_most_slips_in_a_short_line_are_asked_at_once(few: Slips) -> None:
    assert sum(few.short.values()) == sum(few.plain.values()) == few.tries
    assert few.short["asked at once"] > 0.6 * few.tries and "asked at once" not in few.plain


def test_fewer_are_told_by_nobody_than_in_plain_typing(few: Slips) -> None:
    assert few.unseen(few.short, few.short_keys) <= few.unseen(few.plain, few.plain_keys)


def test_it_is_written_down() -> None:
    """Of each way, every slip; and the two figures that are compared follow from them."""
    page = PAGE.read_text("utf-8")
    rows = dict(re.findall(r"^\| ([^|]+) \| ([^|]+ \| [^|]+) \|$", page, re.MULTILINE))
    figures = {what: [float(its) if its != "-" else 0.0 for its in both.split(" | ")] for what, both in rows.items()}
    keys = next(figures.pop(what) for what in list(figures) if what.startswith("keys a wire"))
    assert len(figures) == 4 and [sum(column) for column in zip(*figures.values(), strict=True)] == [TRIES, TRIES]
    short, plain = (keys[way] * figures["told by nobody"][way] / TRIES for way in (0, 1))
    assert f"{short:.1f} in 1,000 wires are told by nobody, against {plain:.1f} in plain typing" in page
    assert short < plain and keys[0] <= 17


@pytest.mark.slow
@pytest.mark.on_demand
def test_the_page_is_what_is_counted() -> None:
    """After a change: `python -m tests.transcribing.one_wrong_key`, and look at the difference."""
    assert PAGE.read_text("utf-8") == page_of(counted(TRIES))
