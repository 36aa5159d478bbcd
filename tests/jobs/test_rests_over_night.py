"""Volts at rest in the evening and in the morning, nothing done between: how far they fell says which draw can have been
there, and it is not asked for again."""

import pytest

from circuitmap.battery.over_night import fell_over_night, steepest
from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.flows.job import next_steps
from circuitmap.jobs.job import Job, job_of
from circuitmap.quantities import Band
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import job_text
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform
from tests.jobs.baggage_tug import baggage_tug

ASKED = "read BAT at rest in the evening, and again in the morning"
LOCKED = '"2026-11-09 08:00", state: locked'
READ = "10:00, read: {P.M1: 0.0mV}"
EVENING = "18:00, battery: {rest: 12.60V}"


@pytest.fixture(scope="module")
def trolley() -> Platform:
    return baggage_tug("5min..10min")


def job(platform: Platform, *entries: str, flat: str = "2 days") -> Job:
    lines = "".join(f"- {{at: {entry}}}\n" for entry in (LOCKED, READ, *entries))
    card = f"complaint: flat\nbattery: 80Ah\nflat-after: {flat}\nentries:\n{lines}"
    its = job_of(platform, SourceFile("job.yaml", card))
    assert its.problems == ()
    return its


def said(its: Job) -> str:
    return " ".join(" ".join(job_text(its, next_steps(its).lines)).split())


def night_of(its: Job) -> dict[str, object] | None:
    found = job_json(its)["battery_checks"][-1]["night"]
    assert found is None or isinstance(found, dict)
    return found


def test_a_small_fall_is_held_against_the_complaint_and_not_asked_for_again(trolley: Platform) -> None:
    """0.02 V and one digit, at the steepest of the table 0.25 in 0.17 V, of 80 Ah in 13 hours: 0.27 A at the most. From
    90 % to half of 80 Ah in 36 to 60 hours takes 0.5 A and more."""
    before = said(job(trolley, EVENING))
    assert ASKED in before and "with all connected" not in before
    its = job(trolley, EVENING, '"2026-11-10 07:00", battery: {rest: 12.58V}')
    text = said(its)
    assert "BAT at rest 12.6 V, and 12.58 V 13 hours later with all connected: 0.02 V lost" in text
    assert "0.27 A at the most. No draw was there by which it goes flat in 1.5 to 2.5 days" in text
    assert ASKED not in text
    night = night_of(its)
    assert night is not None and night["says"] == "held" and night["amps"] == pytest.approx(0.271, abs=0.001)


def test_a_large_fall_asks_for_a_night_with_the_leads_off(trolley: Platform) -> None:
    passed = "17:00, battery: {test: fine}"
    text = said(job(trolley, passed, EVENING, '"2026-11-10 07:00", battery: {rest: 12.30V}'))
    assert "0.3 V lost" in text and "by a draw or by itself, and may be all that the complaint takes" in text
    assert "take both leads off, and read the volts after 24 hours" in text and ASKED not in text


def test_what_a_night_of_volts_cannot_tell_is_said(trolley: Platform) -> None:
    its = job(trolley, EVENING, '"2026-11-10 07:00", battery: {rest: 12.54V}', flat="8 days")
    night = night_of(its)
    assert night is not None and night["says"] == "cannot-tell"
    assert "a night of volts cannot tell here" in said(its)


@pytest.mark.parametrize(
    "between",
    ["20:00, state: key on", "20:00, state: charger on", "20:00, out: [P.M1]", '20:00, mended: "fuse P.M1 cleaned"'],
)
def test_no_night_in_which_something_was_done(trolley: Platform, between: str) -> None:
    its = job(trolley, EVENING, between, '"2026-11-10 07:00", battery: {rest: 12.58V}')
    assert night_of(its) is None and "with all connected" not in said(its)


def test_an_hour_is_no_night(trolley: Platform) -> None:
    assert night_of(job(trolley, EVENING, "19:30, battery: {rest: 12.59V}")) is None


def test_volts_of_lithium_say_nothing_and_gel_has_no_figure() -> None:
    lithium, gel = (ParkedBattery(rated=Band(80.0, 80.0), chemistry=its) for its in ("lithium", "gel"))
    assert fell_over_night(13.2, 13.1, 0.01, 12.0, lithium, None) is None
    its = fell_over_night(12.8, 12.75, 0.01, 12.0, gel, None)
    assert its is not None and (its.says, its.share, its.amps) == ("held", None, None)


def test_the_steepest_of_the_table() -> None:
    assert steepest("flooded") == pytest.approx(0.25 / 0.17)
    assert steepest("agm") == pytest.approx(0.25 / 0.2)
