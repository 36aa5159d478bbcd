"""A part that is out by the card and was renewed, by what the card says was mended, is in again; where the words do not
say so, what was read since is told all the same."""

import pytest

from circuitmap.evidence.put_right import put_right
from circuitmap.jobs.job import Job
from circuitmap.reports.job.mended_text import mended_headline, taken_in_sentences
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.reports.pages.report import report_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import bus, job  # noqa: F401

OUT = (
    'at: "17:00", state: locked, meter: low-current clamp', 'at: "18:20", total: 0.93A', 'at: "18:30", out: [S12]',
    'at: "19:20", total: 0.01A',
)  # fmt: skip
SINCE = ('at: "21:30", state: locked', 'at: "23:00", total: 0.01A')


def mended(words: str) -> tuple[str, ...]:
    return (*OUT, f'at: "21:00", mended: "{words}"', *SINCE)


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("new switch S12", ("S12",)),
        ("S12 renewed", ("S12",)),
        ("step swept; switch S12 replaced by a new one", ("S12",)),
        ("STEP and S12 renewed", ("STEP", "S12")),
        ("new S12 and STEP unplugged", ("S12",)),
        ("the left S12 was cleaned", ("S12",)),
        ("new wire from S12 to A6", ()),
        ("plug of S12 renewed", ()),
        ("S12 connector renewed", ()),
        ("S12 unplugged, new one ordered", ()),
        ("S12 to be renewed next week", ()),
        ("S12 left out", ()),
        ("new A6", ()),
        ("contact freed", ()),
        ("fuse S12 renewed", ()),
    ],
)
def test_what_the_words_put_back(bus: Platform, words: str, names: tuple[str, ...]) -> None:  # noqa: F811
    assert put_right(bus, words, ("STEP", "S12"), ()) == names


def test_a_trailer_is_not_its_lamp(bus: Platform) -> None:  # noqa: F811
    added = ("horse trailer",)
    assert put_right(bus, "horse trailer repaired", added, added) == added
    assert put_right(bus, "horse trailer's lamp repaired", added, added) == ()


def test_a_renewed_part_is_in_again_and_that_is_said(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *mended("new switch S12"))
    assert (found.standing.still_out, found.standing.taken_in) == ((), ("S12",))
    assert "Since then BAT 0.010 A (0.93 A before)" in mended_headline(bus, found.standing)
    assert "S12, door contact was out by the card, and is taken to be in again" in " ".join(
        taken_in_sentences(bus, found.standing)
    )
    assert found.evidence.out == () and found.evidence.readings[-1].without == ()


def test_what_is_written_of_it_counts_for_more(bus: Platform) -> None:  # noqa: F811
    put_back = job(bus, *mended("new switch S12"), 'at: "23:10", back: [S12]').standing
    assert (put_back.still_out, put_back.taken_in) == ((), ())
    out_again = job(bus, *mended("new switch S12"), 'at: "23:10", out: [S12]').standing
    assert (out_again.still_out, out_again.taken_in) == (("S12",), ())


def test_what_was_read_with_it_out_is_told(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *mended("contact freed")).standing
    assert (found.stage, found.still_out) == ("mended", ("S12",))
    headline = mended_headline(bus, found)
    assert "STILL OUT" in headline and "since: BAT 0.010 A, within the limit." in headline
    assert "If it was in again when BAT was read" in " ".join(next_sentences(bus, found))


def on_page(found: Job, heading: str) -> str:
    page = report_of(found)
    return " ".join(
        text for part in (*page.customer, *page.record) if part.heading == heading for text in part.sentences
    )


def test_the_report_says_of_it_what_the_card_says(bus: Platform) -> None:  # noqa: F811
    cause = 'at: "20:50", cause: "S12 does not open; kind contact"'
    renewed = job(bus, *OUT, cause, *mended("new switch S12")[len(OUT) :])
    put_back = on_page(renewed, "We put back")
    assert "STILL OUT" not in put_back and "the door contact (S12)" in put_back
    assert "INVOLVED" not in on_page(renewed, "Tries")
    assert "0.010 A since it was mended" in on_page(renewed, "What bears it out")
    assert "taken to be in again" in on_page(renewed, "Verdict")
    assert "now that it is mended and in again, it stays away" in on_page(renewed, "We found")


def test_the_report_says_what_is_still_out_and_what_was_put_back(bus: Platform) -> None:  # noqa: F811
    out = job(bus, *mended("contact freed"))
    assert "STILL OUT, by the card: the door contact (S12)" in on_page(out, "We put back")
    back = job(bus, *OUT, 'at: "20:55", back: [S12]', *mended("contact freed")[len(OUT) :])
    assert on_page(back, "We put back") == "Back in: the door contact (S12)."
