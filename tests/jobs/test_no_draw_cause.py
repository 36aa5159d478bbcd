"""A cause that is no draw has an end of its own: volts while charging or the battery's test show it, no night's log."""

import pytest

from circuitmap.jobs.job import Job, job_of
from circuitmap.jobs.no_draw_cause import said_kind
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.mended_text import because_sentences, mended_headline
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_each_battery import COACH


@pytest.fixture(scope="module")
def coach() -> Platform:
    return platform_of([read_text(SourceFile("c.circuit", COACH))[0]])


QUIET = """\
battery: 140Ah
entries:
  - {at: "19:00", state: locked, meter: low-current clamp}
  - {at: "20:10", read: {G1: 0.01A, G2: 0.04A}}
  - {at: "20:40", battery: {place: G2, charging: 12.3V}}
"""
DONE = '  - {at: "21:00", cause: "G2 is not charged, its lead is green", mended: new lead}\n'
SHOWN = '  - {at: "22:00", battery: {place: G2, charging: 14.2V}}\n'


def job(platform: Platform, text: str) -> Job:
    found = job_of(platform, SourceFile("job.yaml", text))
    assert not found.problems, found.problems
    return found


def test_charging_volts_are_asked_for_not_a_log(coach: Platform) -> None:
    found = job(coach, QUIET + DONE)
    said, steps = mended_headline(coach, found.standing), " ".join(next_sentences(coach, found.standing))
    assert found.standing.stage == "mended" and said.startswith("MENDED, NOT YET SHOWN: G2")
    assert "no more than it should: G1 0.010 A and G2 0.040 A" in said and "volts of G2 while it is charged" in said
    assert "battery G2 charging ..V" in steps and "log " not in steps
    assert "G2 12.3 V while charging before it was mended." in list(because_sentences(coach, found.standing))


def test_charging_volts_show_it(coach: Platform) -> None:
    found = job(coach, QUIET + DONE + SHOWN)
    assert found.standing.stage == "no-draw-mended"
    said = mended_headline(coach, found.standing)
    assert said.startswith("MENDED AND SHOWN: G2") and "G2 14.2 V while charging (before: G2 12.3 V" in said
    words = " ".join(text for part in report_of(found).customer for text in part.sentences)
    assert "night's log" not in words


@pytest.mark.parametrize(
    ("check", "stage", "says"),
    [
        ("charging: 12.4V", "mended", "NOT MENDED: G2"),
        ("test: fine", "mended", "NOT YET SHOWN"),  # the battery is fine: whether it is charged is not shown
    ],
)
def test_what_does_not_show_it(coach: Platform, check: str, stage: str, says: str) -> None:
    found = job(coach, QUIET + DONE + f'  - {{at: "22:00", battery: {{place: G2, {check}}}}}\n')
    assert found.standing.stage == stage and says in mended_headline(coach, found.standing)


def test_whatever_drew_is_shown_by_a_night(coach: Platform) -> None:
    drew = job(coach, QUIET.replace("G2: 0.04A", "G2: 0.40A") + DONE + SHOWN)
    assert drew.standing.no_draw_cause is None and "night's log" in mended_headline(coach, drew.standing)
    since = job(
        coach,
        QUIET + DONE + SHOWN + '  - {at: "23:30", state: locked}\n  - {at: "23:59", read: {G2: 0.40A}, steady: yes}\n',
    )
    assert since.standing.stage == "not-repaired"
    unread = job(coach, QUIET.replace("read: {G1: 0.01A, G2: 0.04A}", "looked: yes") + DONE + SHOWN)
    assert unread.standing.no_draw_cause is None


def test_a_card_that_could_not_be_read_in_parts_shows_nothing(coach: Platform) -> None:
    found = job_of(coach, SourceFile("job.yaml", QUIET + DONE + SHOWN.replace("}}", "}, totall: 3A}")))
    assert found.standing.stage == "mended"
    assert "Parts of the card could not be read" in mended_headline(coach, found.standing)


@pytest.mark.parametrize(
    ("cause", "kind"),
    [
        ("K3 burnt; kind charging", "charging"), ("living battery not charged on the road", "charging"),
        ("G2 has lost its capacity", "battery"), ("fridge on day and night; kind habit", "habit"),
        ("short trips only", "habit"), ("K3 sticks; kind contact", None), ("the charger's lead is chafed", None),
    ],
)  # fmt: skip
def test_which_words_mean_which(cause: str, kind: str | None) -> None:
    assert said_kind(cause) == kind


def test_habits_are_shown_by_a_battery_that_holds_and_fills(coach: Platform) -> None:
    told = DONE.replace("G2 is not charged, its lead is green", "G2 used up by short trips").replace(
        "new lead", "told the owner"
    )
    found = job(coach, QUIET.replace("charging: 12.3V", "test: fine") + told)
    assert found.standing.stage == "no-draw-mended"
