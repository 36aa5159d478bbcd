"""A sound vehicle: read too early, then asleep, then logged for a night. Nobody is accused, nothing is asked twice."""

import pytest

from circuitmap.flows.job import next_steps
from circuitmap.jobs.job import Job, job_of
from circuitmap.reports.job.job_text import brief, job_text
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform
from tests.diagnosis.cards import circuit

NEW = (
    "complaint: flat once\nbattery: 95Ah\nflat-after: 21 days\nfitted: [BOOST]\nabsent: [SOLAR, BATT2, AWN]\nentries:\n"
)
EARLY = ("at: 14:00, state: locked", "at: 14:09, read: {BAT: 0.46A, FS1: 0.00A}")
ASLEEP = "at: 14:36, read: {BAT: 0.02A}"
NIGHT = "at: 2026-11-25 06:00, log: {place: BAT, floor: 0.01A, peak: 0.21A, mean: 0.02A, for: 15h}"


@pytest.fixture(scope="module")
def motorhome() -> Platform:
    return circuit("motorhome").platform


def job(platform: Platform, *entries: str) -> Job:
    text = NEW + "".join(f"- {{{entry}}}\n" for entry in entries)
    found = job_of(platform, SourceFile("job.yaml", text.replace("at: 14", "at: 2026-11-24 14")))
    assert found.problems == ()
    return found


def said(its: Job) -> str:
    return "\n".join(job_text(its, next_steps(its).lines))


def test_what_was_read_too_early_asks_for_nothing_but_to_wait(motorhome: Platform) -> None:
    its = job(motorhome, *EARLY)
    assert next_steps(its).lines == []
    text = said(its)
    assert "Wait until 14:30" in text.replace("\n           ", " ") and "MAY BE" not in text and " 1  " not in text


def test_a_draw_that_is_too_little_as_shown_does_not_explain_the_complaint(motorhome: Platform) -> None:
    for entries in ((*EARLY, ASLEEP), (*EARLY, ASLEEP, NIGHT)):
        text = said(job(motorhome, *entries)).replace("\n           ", " ")
        assert "too little for it by what the meter shows" in text and "is enough for it" not in text


def test_after_a_night_of_log_no_log_is_asked_for(motorhome: Platform) -> None:
    text = said(job(motorhome, *EARLY, ASLEEP, NIGHT))
    assert "NO DRAW FOUND at BAT in 15 h of log, but LEIS was not read" in text
    assert "Leave a log running" not in text and "log a night" not in text
    steps = [line for line in text.split("\n") if line[:4].strip().isdigit() and line.startswith(" ") and "  " in line]
    assert "Charge each battery" in steps[0], "the battery comes before one more look with a finer meter"


def test_what_was_logged_with_another_battery_only_read_is_still_to_be_logged(motorhome: Platform) -> None:
    its = job(motorhome, *EARLY, "at: 14:36, read: {BAT: 0.02A, LEIS: 0.00A}", NIGHT)
    assert "Leave a log running at LEIS too" in said(its).replace("\n  ", " ")


def test_the_report_of_a_sound_vehicle_accuses_nobody(motorhome: Platform) -> None:
    its = job(motorhome, *EARLY, ASLEEP, NIGHT)
    from circuitmap.flows.job import diagnosis_of
    from circuitmap.reports.pages.report_balance import balance_sentences

    balance = " ".join(balance_sentences(motorhome, diagnosis_of(its)))
    assert "They point to" not in balance and "MCHG" not in balance


def test_a_headline_that_goes_on_is_kept_whole() -> None:
    lines = [
        "",
        "NO DRAW FOUND in 15 hours of log: 0.02 A, and this meter",
        "can be off 0.07 A.",
        "",
        "COUNT      found",
    ]
    assert "can be off 0.07 A." in brief([*lines, "CARE       whatever", "           more"])
    assert not any("whatever" in line for line in brief([*lines, "CARE       whatever"]))
