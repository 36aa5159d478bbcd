"""REPAIRED, or what is missing for it: one card per line. The whole night must lie after the last refit and lock, the
peak must not be the draw again, and there must have been a draw."""

import pytest

from circuitmap.flows.job import job_from
from circuitmap.jobs.after_mending import waking_amps
from circuitmap.jobs.job import Job
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
option TOW
battery BAT 72Ah
box CAB
fuse CAB.F22 20A mini
relay CAB.K4 "screens relay" make
module BCM supply 1 ground 2
    awake 100mA..250mA
module LIFT supply 1 ground 2
module HITCH if TOW
"""
LOCKED = "{at: '2026-03-01 10:00', state: locked, meter: low-current clamp}"
READ = "{at: '2026-03-01 10:50', total: 14.80A}"
TRIED = "{at: '2026-03-01 11:00', out: [CAB.K4]}\n  - {at: '2026-03-01 11:30', total: 0.04A}"
BACK = "{at: '2026-03-01 16:00', back: [CAB.K4]}"
MENDED = "{at: '2026-03-01 16:10', mended: wire replaced}"
LOCK = "{at: '2026-03-01 17:00', state: locked}"
NIGHT = "{at: '2026-03-02 07:30', log: {floor: 0.03A, peak: 0.35A, mean: 0.04A, for: 14h}}"
WHOLE = (LOCKED, READ, TRIED, BACK, MENDED, LOCK, NIGHT)


@pytest.fixture(scope="module")
def van() -> Platform:
    return platform_of([read_text(SourceFile("van.circuit", VAN))[0]])


def job(van: Platform, *entries: str) -> Job:
    return job_from(
        van, "job: 1\nplatform: van\nentries:\n" + "".join(f"  - {entry}\n" for entry in entries), "job.yaml"
    )


def night(
    at: str = "2026-03-02 07:30", long: str = "14h", mean: str = "0.04A", peak: str = "0.35A", floor: str = "0.03A"
) -> str:
    return f"{{at: '{at}', log: {{floor: {floor}, peak: {peak}, mean: {mean}, for: {long}}}}}"


def test_all_of_it_is_repaired(van: Platform) -> None:
    found = job(van, *WHOLE)
    assert found.standing.stage == "repaired" and not found.problems
    assert mended_headline(van, found.standing).startswith(
        "REPAIRED: a night's log (14 h) at BAT has a mean of 0.040 A"
    )


@pytest.mark.parametrize(
    ("entries", "why", "says"),
    [
        # ten minutes after locking, "for 14h"
        ((*WHOLE[:-1], night("2026-03-01 17:10")), "no-room", "left alone for 0 min when that was written down"),
        ((*WHOLE[:-1], night("2026-03-02 07:19", mean="0.05A")), "no-room", "left alone for 13 h 59 min"),
        ((*WHOLE[:-1], night("2026-03-02 07:19")), "", "REPAIRED"),  # all of it in 13 h 59 min is still within
        ((*WHOLE[:-1], night("2026-03-02 06:59")), "no-room", "left alone for 13 h 39 min"),  # begun before it was locked
        ((*WHOLE[:-1], night("2026-03-02 07:20")), "", "REPAIRED"),
        ((*WHOLE[:-1], night("2026-03-02 07:20", "14.1h", "0.05A")), "no-room", "left alone for 14 h when"),
        ((*WHOLE[:-1], night("2026-03-02 01:20", "8h")), "", "REPAIRED"),
        ((*WHOLE[:-1], night("2026-03-02 01:19", "8h")), "no-room", "7 h 59 min"),
        ((*WHOLE[:-1], night("2026-03-02 07:30", "7.9h")), "short", "too short"),
        # anything done to it in between starts the time again
        ((*WHOLE[:-1], "{at: '2026-03-01 23:00', state: door opened}", NIGHT), "no-room", "8 h 10 min"),
        ((*WHOLE[:-1], "{at: '2026-03-01 23:00', state: key on}", NIGHT), "no-time", "not on the card"),
        ((*WHOLE[:-1], "{at: '2026-03-01 23:00', scan: {answers: LIFT}}", NIGHT), "no-room", "8 h 10 min"),
        ((*WHOLE[:-1], "{at: '2026-03-01 23:00', state: charger off}", NIGHT), "no-room", "8 h 10 min"),
        ((*WHOLE[:-1], "{at: '2026-03-01 23:00', remark: still dry}", NIGHT), "", "REPAIRED"),
        ((*WHOLE[:3], MENDED, LOCK, "{at: '2026-03-01 23:00', back: [CAB.K4]}", NIGHT), "no-room", "8 h 10 min"),
        # what the card does not say
        ((*WHOLE[:5], NIGHT), "", "REPAIRED"),
        ((READ, TRIED, BACK, MENDED, NIGHT), "not-locked", "that it was locked is not on the card"),
        ((*WHOLE[:-1], NIGHT.replace("at: '2026-03-02 07:30', ", "")), "no-time", "not on the card"),
        ((*WHOLE[:5], "{state: locked}", NIGHT), "no-time", "not on the card"),
        ((*WHOLE[:4], "{mended: wire replaced}", NIGHT), "no-time", "not on the card"),
        # the fault's own current, or more than what wakes
        ((*WHOLE[:-1], night(peak="14.8A")), "peak", "its peak of 14.80 A is the draw again, or much of it (it drew 14.80 A)"),
        ((*WHOLE[:-1], night(peak="7.5A")), "peak", "its peak of 7.50 A"),
        ((*WHOLE[:-1], night(peak="7.3A")), "peak-unexplained", "its peak of 7.30 A is more than what wakes by itself explains (0.90 A"),
        ((*WHOLE[:-1], night(peak="0.91A")), "peak-unexplained", "more than what wakes"),
        ((*WHOLE[:-1], night(peak="0.90A")), "", "REPAIRED"),
        ((LOCKED, READ.replace("14.80A", "0.47A"), MENDED, LOCK, night(peak="0.30A")), "peak", "it drew 0.47 A"),
        ((LOCKED, READ.replace("14.80A", "0.47A"), MENDED, LOCK, night(peak="0.25A")), "", "REPAIRED"),
        # no reading of a draw, ever
        ((LOCKED, MENDED, LOCK, NIGHT), "nothing-before", "no draw was read before"),
        ((LOCKED, READ.replace("14.80A", "0.04A"), MENDED, LOCK, NIGHT), "nothing-before", "no draw was read before"),
        ((LOCKED, READ.replace("}", ", struck: wrong van}"), MENDED, LOCK, NIGHT), "nothing-before", "no draw was read before"),
        ((LOCKED, READ.replace("10:50", "10:05"), MENDED, LOCK, NIGHT), "nothing-before", "no draw was read before"),
        ((LOCKED, "{at: '2026-03-01 10:50', read: {F22: 14.6A}}", MENDED, LOCK, NIGHT), "", "REPAIRED"),
        ((LOCKED, "{at: '2026-03-01 10:50', read: {F22: draws}}", MENDED, LOCK, NIGHT), "", "REPAIRED"),
        # above the limit, charged, out
        ((*WHOLE[:-1], night(mean="0.20A")), "", "NOT REPAIRED"),
        ((*WHOLE[:-1], night(floor="-3A")), "charging", "current ran into BAT"),
        ((*WHOLE[:3], MENDED, LOCK, NIGHT), "still-out", "STILL OUT"),
        # parts of the card could not be read
        ((*WHOLE, "{at: '2026-03-02 08:00', totall: 14.8A}"), "unread", "parts of the card could not be read"),
        ((*WHOLE, "{at: '2026-03-02 08:00', read: {F99: 14.8A}}"), "unread", "parts of the card could not be read"),
        ((*WHOLE, "{at: '2026-03-02 08:00', tested: {LIFT mood: fine}}"), "unread", "parts of the card could not be read"),
    ],
)  # fmt: skip
def test_what_a_log_shows(van: Platform, entries: tuple[str, ...], why: str, says: str) -> None:
    found = job(van, *entries)
    headline = mended_headline(van, found.standing)
    assert (found.standing.after.why, says in headline) == (why, True), (found.standing.after, headline)
    assert found.standing.stage == {"REPAIRED": "repaired", "NOT REPAIRED": "not-repaired"}.get(says, "mended")
    assert headline.startswith("REPAIRED") == (says == "REPAIRED")
    if found.standing.after.outcome == "cannot-tell":
        assert list(next_sentences(van, found.standing))


def test_a_log_that_cannot_have_been_takes_nothing_back(van: Platform) -> None:
    assert job(van, *WHOLE, night("2026-03-02 07:40", "20h")).standing.stage == "repaired"
    above = night("2026-03-02 07:30", mean="0.2A")
    assert job(van, *WHOLE[:-1], above, night("2026-03-02 07:40", "20h")).standing.stage == "not-repaired"
    assert job(van, *WHOLE, night("2026-03-03 07:30", peak="14.8A")).standing.stage == "mended"


def test_nothing_draws_is_not_said_of_time_that_was_not_there(van: Platform) -> None:
    quiet = (
        "{at: '2026-03-01 10:00', state: locked, meter: low-current clamp}",
        "{at: '2026-03-01 10:50', total: 0.04A}",
    )
    log = "log: {floor: 0.03A, peak: 0.05A, mean: 0.04A, for: 14h}"
    assert job(van, *quiet, f"{{at: '2026-03-01 10:55', {log}}}").standing.stage == "watch"
    assert job(van, *quiet, f"{{at: '2026-03-02 01:00', {log}}}").standing.stage == "no-draw"


def test_what_wakes_by_itself_is_what_the_car_may_have(van: Platform) -> None:
    """BCM as transcribed, LIFT and HITCH by their kind (0.3 A at the most, derived)."""
    assert waking_amps(van, {}) == pytest.approx(0.25 + 0.3 + 0.3)
    assert waking_amps(van, {"TOW": False}) == pytest.approx(0.25 + 0.3)
    bare = platform_of([read_text(SourceFile("a.circuit", 'platform "Bare" supply 24V\nbattery BAT\n'))[0]])
    assert waking_amps(bare, {}) == pytest.approx(0.15)
