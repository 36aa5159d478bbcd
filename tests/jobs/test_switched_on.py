"""A consumer that the card says is on: what it runs is known at its battery, and a mended vehicle of two batteries is
judged by the one that was mended."""

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.jobs.job import job_of
from circuitmap.jobs.standing import JobStanding
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.rests_on import rests_on_sentences
from circuitmap.reports.job.standing_text import headline
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.jobs.test_standing import standing

ON = 'at: "14:00", stands: {ICE: "on"}'
LOCKED = 'at: "14:01", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
READ = 'at: "15:10", read: {SB: 1.61A, HB: 2.45A}'
OUT = 'at: "15:55", out: [TIE]'
OPENED = 'at: "16:05", read: {SB: 0.01A, HB: 4.05A}'
MENDED = (
    'at: "16:20", cause: "TIE, contact welded; kind contact"', 'at: "17:00", back: [TIE]',
    'at: "17:01", mended: "new relay TIE"', 'at: "17:05", state: locked',
)  # fmt: skip


@pytest.fixture(scope="module")
def skiff() -> Platform:
    return platform_of([read_text(SourceFile("skiff.circuit", SKIFF))[0]])


def seen(skiff: Platform, *entries: str) -> JobStanding:
    return standing(skiff, *entries)


def test_what_was_switched_on_does_not_make_a_repair_fail(skiff: Platform) -> None:
    found = seen(skiff, ON, LOCKED, READ, OUT, OPENED, *MENDED, 'at: "18:15", read: {SB: 0.01A, HB: 4.05A}')
    said = mended_headline(skiff, found)
    assert found.stage == "mended" and "NOT REPAIRED" not in said
    assert "SB 0.01 A (1.61 A before)" in said and "HB 4.05 A (4.05 A is known there, COMP 4.00 A of it)" in said


def test_without_it_what_is_drawn_still_counts(skiff: Platform) -> None:
    found = seen(skiff, LOCKED, READ, OUT, OPENED, *MENDED, 'at: "18:15", read: {SB: 0.01A, HB: 4.05A}')
    assert found.stage == "not-repaired"


@pytest.mark.parametrize("amps", ["1.30A", "6.50A"])
def test_what_it_does_not_take_is_still_too_much(skiff: Platform, amps: str) -> None:
    """Less than it takes running is something else, and so is more."""
    found = seen(skiff, ON, LOCKED, READ, OUT, OPENED, *MENDED, f'at: "18:15", read: {{SB: 0.01A, HB: {amps}}}')
    assert found.stage == "not-repaired"


@pytest.mark.parametrize("read", ["SB: 0.01A, HB: 4.05A", "HB: 4.05A, SB: 0.01A"])
def test_the_battery_at_which_it_went_decides_and_not_the_one_read_first(skiff: Platform, read: str) -> None:
    found = seen(skiff, ON, LOCKED, READ, OUT, f'at: "16:05", read: {{{read}}}')
    assert [(one.verdict, one.place, one.figures) for one in found.tries] == [("involved", "SB", (1.61, 0.01))]


def test_the_headline_and_the_time_to_flat_name_the_battery(skiff: Platform) -> None:
    found = seen(skiff, ON, LOCKED, READ)
    assert headline(skiff, found).startswith("IT DRAWS 1.61 A at SB; the limit is 0.05 A")
    both = seen(skiff, LOCKED, READ)
    assert headline(skiff, both).startswith("IT DRAWS 2.45 A at HB and 1.61 A at SB; the limit is 0.05 A")
    text = f"job: 1\nentries:\n  - {{{LOCKED}}}\n  - {{{READ}}}\n"
    assert not read_card(SourceFile("job.yaml", text))[1]
    lines = list(battery_lines(job_of(skiff, SourceFile("job.yaml", text))))
    assert any(line.startswith("HB: at 2.") for line in lines)


SINCE = 'at: "18:15", read: {SB: 0.01A, HB: 4.05A}'


def rests(skiff: Platform, *more: str, on: bool = True) -> str:
    entries = (*([ON] if on else []), LOCKED, READ, OUT, OPENED, *MENDED, SINCE, *more)
    return " ".join(rests_on_sentences(skiff, seen(skiff, *entries)))


def test_it_is_said_that_a_verdict_rests_on_what_nobody_saw_running(skiff: Platform) -> None:
    said = rests(skiff)
    assert "COMP, compressor is taken to run, 4.00 A of what HB gives, because ICE stands at on" in said
    assert "turn ICE to off and read HB: it must fall by about 4.00 A" in said


@pytest.mark.parametrize(
    "shown",
    [
        ('at: "18:20", found: {COMP: warm}',),
        ('at: "18:20", turned: {ICE: "off"}', 'at: "18:40", read: {HB: 0.05A}'),
    ],
)
def test_once_it_was_shown_nothing_rests_on_it(skiff: Platform, shown: tuple[str, ...]) -> None:
    assert rests(skiff, *shown) == ""


def test_another_part_that_is_warm_shows_nothing_and_neither_does_a_draw_that_stays(skiff: Platform) -> None:
    assert "COMP" in rests(skiff, 'at: "18:20", found: {LMP: warm}')


def test_nothing_is_asked_while_there_is_a_draw_to_look_for(skiff: Platform) -> None:
    assert not list(rests_on_sentences(skiff, seen(skiff, ON, LOCKED, READ)))
