"""What is on no sheet and was taken away for good is mended by that: nobody asks to plug it in again."""

import pytest

from circuitmap.jobs.job import Job
from circuitmap.jobs.since_mending import as_it_is_now
from circuitmap.reports.job.mended_text import mended_headline, taken_in_sentences
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.reports.pages.report import report_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import NIGHT, READ, SINCE, bus, job  # noqa: F401

ADDED = ("added: {warming locker: CAB.F2}", *READ)
TRIED = (
    'at: "18:30", out: [warming locker]', 'at: "19:20", total: 0.01A', 'at: "19:30", back: [warming locker]',
    'at: "20:20", total: 0.93A',
)  # fmt: skip
OUT = ('at: "20:50", out: [warming locker]',)
CAUSE = ('at: "20:55", cause: "warming locker on a feed that is always live"',)


def away(done: str = "its owner keeps it in the shed", out: tuple[str, ...] = OUT) -> tuple[str, ...]:
    return (*ADDED, *TRIED, *CAUSE, *out, f'at: "21:00", mended: "{done}"')


def test_what_stays_out_is_mended_so(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *away(), *SINCE)
    assert (found.standing.still_out, found.standing.taken_away) == ((), ("warming locker",))
    headline = mended_headline(bus, found.standing)
    assert headline.startswith("PROVEN AND MENDED") and "Since then BAT 0.010 A (0.93 A before)" in headline
    assert "Put it back" not in " ".join(next_sentences(bus, found.standing))
    (said,) = taken_in_sentences(bus, found.standing)
    assert said.startswith("warming locker stays out, by the card") and "back warming locker" in said
    since = as_it_is_now(bus, found.card, found.evidence, found.standing)
    assert since.readings[-1].without == () and since.added == () and found.evidence.out == ()


def test_a_night_without_it_shows_it(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *away(), *SINCE, NIGHT)
    assert found.standing.stage == "repaired"
    assert mended_headline(bus, found.standing).startswith("REPAIRED, CAUSE PROVEN: warming locker")
    page = report_of(found)
    words = " ".join(text for part in page.record for text in part.sentences)
    assert "STILL OUT" not in words


def test_written_in_the_other_order(bus: Platform) -> None:  # noqa: F811
    late = ('at: "21:10", out: [warming locker]',)
    found = job(bus, *away("warming locker taken away for good", out=()), *late, *SINCE, NIGHT)
    assert (found.standing.stage, found.standing.taken_away) == ("repaired", ("warming locker",))


@pytest.mark.parametrize(
    ("done", "still", "away_"),
    [
        ("new relay K1", ("warming locker",), ()),  # another thing was mended; the locker is only out
        ("warming locker renewed", (), ()),  # in again
        ("warming locker is to be put back tomorrow", ("warming locker",), ()),
        ("warming locker unplugged, new one ordered", ("warming locker",), ()),
        ("nothing to mend, it stays at home", (), ("warming locker",)),
    ],
)
def test_what_the_words_say_of_it(bus: Platform, done: str, still: tuple[str, ...], away_: tuple[str, ...]) -> None:  # noqa: F811
    entries = [one for one in away(done) if one not in CAUSE]
    standing = job(bus, *entries, *SINCE).standing
    assert (standing.still_out, standing.taken_away) == (still, away_)


def test_put_in_again_it_is_in(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *away(), *SINCE, 'at: "23:30", back: [warming locker]', 'at: "23:59", total: 0.93A')
    assert (found.standing.stage, found.standing.taken_away) == ("not-repaired", ())
    assert as_it_is_now(bus, found.card, found.evidence, found.standing).added


def test_a_part_of_the_sheets_is_asked_for(bus: Platform) -> None:  # noqa: F811
    entries = (*READ, 'at: "18:30", out: [STEP]', 'at: "19:20", total: 0.01A', 'at: "21:00", mended: "STEP taken away"')
    assert job(bus, *entries, *SINCE).standing.still_out == ("STEP",)


def test_tried_once_more_after_mending(bus: Platform) -> None:  # noqa: F811
    found: Job = job(bus, *away("new fuse CAB.F2", out=()), *SINCE, 'at: "23:10", out: [warming locker]')
    assert (found.standing.still_out, found.standing.taken_away) == (("warming locker",), ())


@pytest.mark.parametrize(
    ("done", "away_"),
    [
        ("locker and its lead taken off", ("warming locker",)),  # no other is called so
        ("warming locker removed", ("warming locker",)),
        ("locker fuse taken out", ()),
        ("locker mended", ()),
        ("locker taken out, goes back in tomorrow", ()),
        ("relay K1 renewed, locker taken off", ()),  # another thing was mended
    ],
)
def test_what_was_in_again_and_is_said_to_be_taken_off_is_gone(
    bus: Platform, done: str, away_: tuple[str, ...]  # noqa: F811
) -> None:  # fmt: skip
    back = ('at: "20:20", back: [warming locker]', 'at: "20:50", total: 0.93A')
    entries = (*ADDED, *TRIED, *back, f'at: "21:00", mended: "{done}"')
    standing = job(bus, *entries, *SINCE).standing
    assert standing.taken_away == away_
    assert ("warming locker" in standing.put_back) == (not away_)
