"""A reading that came too early says when to read again, and is forgotten once that was done."""

import pytest

from circuitmap.jobs.job import job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import clock_of
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

NOTATION = """\
platform "Ostrey Dunlin" sleep 10min..15min limit 40mA
battery BAT 95Ah
box HAB
fuse HAB.F1 15A mini
relay HAB.K1 "fridge relay" make
"""
TRIAL = """\
platform: camper
entries:
  - {at: 10:00, state: locked}
  - {at: 10:30, read: {BAT: 11.4A}}
  - {at: 10:31, out: [K1], read: {BAT: 0.02A}}
  - {at: 10:50, back: [K1], read: {BAT: 11.4A}}
"""


def told(card: str) -> str:
    platform = platform_of([read_text(SourceFile("c.circuit", NOTATION))[0]])
    job = job_of(platform, SourceFile("job.yaml", card))
    return " ".join(" ".join(standing_text(platform, job.standing, clock_of(job))).split())


EARLY = "TOO EARLY BAT 11.40 A after 0 min: woken just before, so it says nothing of the parked car. Wait until 11:00"


def test_put_back_and_read_at_once_waits() -> None:
    assert f"{EARLY}, then enter BAT again." in told(TRIAL)


def test_the_reading_that_follows_takes_its_place() -> None:
    text = told(TRIAL + "  - {at: 11:05, read: {BAT: 11.4A}}\n")
    assert "TOO EARLY" not in text and "11.40 A with it again" in text


@pytest.mark.parametrize("entry", ["{at: 11:05, read: {F1: 0.0mV}}", "{at: 11:05, out: [K1], read: {BAT: 0.02A}}"])
def test_another_reading_does_not(entry: str) -> None:
    assert "TOO EARLY" in told(TRIAL + f"  - {entry}\n")


def test_of_an_open_vehicle_it_is_locked_first() -> None:
    text = told("platform: camper\nentries:\n  - {at: 10:00, state: opened}\n  - {at: 10:20, read: {BAT: 3A}}\n")
    assert "Lock it, let it sleep, then enter BAT again." in text


WAITED = "BAT 11.40 A after 5 min: not yet asleep, so it says nothing of the parked car."
LOCKED = "platform: camper\nentries:\n  - {at: 10:00, state: locked}\n  - {at: 10:05, read: {BAT: 11.4A}}\n"


@pytest.mark.parametrize(
    ("since", "then"),
    [
        ("", "Wait until 10:15, then enter BAT again."),
        ("  - {at: 10:14, volts: {K1.30: 12.3V}}\n", "Wait until 10:15, then enter BAT again."),
        ("  - {at: 10:15, volts: {K1.30: 12.3V}}\n", "Once it sleeps, enter BAT again."),
        ("  - {at: 23:50, read: {F1: 0.0mV}}\n  - {at: 00:05, remark: cold}\n", "Once it sleeps, enter BAT again."),
    ],
)
def test_nobody_waits_for_a_time_that_has_passed(since: str, then: str) -> None:
    assert f"TOO EARLY {WAITED} {then}" in told(LOCKED + since)


def test_what_was_read_too_early_before_mending_is_not_read_again() -> None:
    mended = LOCKED + "  - {at: 10:20, total: 11.4A}\n  - {at: 10:22, state: locked}\n  - {at: 10:24, read: {F1: 2A}}\n"
    assert "then enter HAB.F1 again" in told(mended)
    mended += "  - {at: 10:40, mended: new fridge relay}\n"
    assert "TOO EARLY" not in told(mended)
    assert "then enter BAT again" in told(mended + "  - {at: 10:41, total: 11.4A}\n")
