"""Peaks in a log that come as a part wakes by its own clock are told as that, and are not hunted."""

import pytest

from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.own_clock import own_clock_sentences
from circuitmap.reports.job.tried_text import try_sentence
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_figures_that_fit import platform

TRAILER = """\
platform "Box trailer" sleep 5min..10min limit 60mA
option TRACK
battery B 95Ah
box F
fuse F.F1 10A mini, F.F2 10A mini
module LOC "position sender" supply 1 ground 2 asleep 2mA awake 150mA..250mA wakes every 30min for 60s..120s if TRACK
module LK "locking" supply 1 ground 2 asleep 20mA awake 150mA
ground G1
B.+ -> F.F1 -> LOC.1 if TRACK
LOC.2 -> G1 if TRACK
B.+ -> F.F2 -> LK.1
LK.2 -> G1
B.- -> G1
"""
LOCKED = '{at: "2026-05-04 18:00", state: locked, meter: low-current clamp}'


@pytest.fixture(scope="module")
def trailer() -> Platform:
    return platform(TRAILER)


def logged(its: Platform, figures: str, head: str = "fitted: [TRACK]") -> Job:
    log = f'{{at: "2026-05-05 07:00", log: {{{figures}, for: 12h}}}}'
    found = job_from(its, f"job: 7\nplatform: p\n{head}\nentries:\n  - {LOCKED}\n  - {log}\n", "job.yaml")
    assert not found.problems, found.problems
    return found


def peaks(found: Job) -> str:
    return " ".join(own_clock_sentences(found.platform, found.standing))


SOUND = "floor: 0.022A, mean: 0.034A, peak: 0.222A, period: 30min"


def test_peaks_of_a_clock_that_is_typed_in_are_no_draw_that_comes_and_goes(trailer: Platform) -> None:
    found = logged(trailer, SOUND)
    assert "LOC, position sender wakes by its own clock" in peaks(found) and "every 30 min" in peaks(found)
    assert found.standing.total is not None and found.standing.total.log is not None
    assert not found.standing.total.log.comes_and_goes and found.standing.stage != "draws"


@pytest.mark.parametrize(
    "figures",
    [
        SOUND.replace("30min", "50min"),
        SOUND.replace("peak: 0.222A", "peak: 0.622A"),
        SOUND.replace("mean: 0.034A", "mean: 0.100A"),
        SOUND.replace(", period: 30min", ""),
    ],
)
def test_other_peaks_are_not_taken_for_it(trailer: Platform, figures: str) -> None:
    assert peaks(logged(trailer, figures)) == ""


def test_what_is_not_fitted_wakes_nobody(trailer: Platform) -> None:
    assert peaks(logged(trailer, SOUND, "absent: [TRACK]")) == ""


WITH = "floor: 0.022A, mean: 0.034A, peak: 0.222A, period: 30min, for: 6h"
WITHOUT = "floor: 0.020A, mean: 0.020A, peak: 0.021A, for: 5h"


def logs(its: Platform, *entries: str) -> Job:
    text = "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(its, f"job: 7\nplatform: p\nfitted: [TRACK]\nentries:\n  - {LOCKED}\n{text}", "job.yaml")
    assert not found.problems, found.problems
    return found


FIRST = f'at: "2026-05-05 00:30", log: {{{WITH}}}'
OUT = 'at: "2026-05-05 07:00", out: [F.F1]'
DOWN = f'at: "2026-05-05 12:40", log: {{{WITHOUT}}}'
BACK = 'at: "2026-05-05 12:50", back: [F.F1]'
LAST = f'at: "2026-05-05 19:20", log: {{{WITH}}}'


def test_logs_with_it_out_and_in_again_show_whose_it_is(trailer: Platform) -> None:
    found = logs(trailer, FIRST, OUT, DOWN, BACK, LAST)
    assert "Shown: with F.F1 out it did not come in a log of 5 h, and it came again" in peaks(found)
    assert [one.verdict for one in found.standing.tries] == ["own-clock"]
    told = " ".join(try_sentence(trailer, found.standing.tries[0], Clock(found.card)).split())
    assert told.startswith("ITS OWN CLOCK, NO FAULT: F.F1") and "CLEARED" not in told
    assert found.standing.stage not in ("draws", "involved", "proven")


@pytest.mark.parametrize(
    "entries",
    [
        (FIRST, OUT, DOWN, BACK),  # nobody saw it come again
        (FIRST, OUT, DOWN.replace("for: 5h", "for: 80min"), BACK, LAST),  # less than three periods
        (FIRST, OUT, DOWN.replace("peak: 0.021A", "peak: 0.22A"), BACK, LAST),  # it came all the same
        (FIRST, OUT.replace("F.F1", "F.F2"), DOWN, BACK.replace("F.F1", "F.F2"), LAST),  # LOC hangs on the other one
    ],
)
def test_less_than_that_shows_nobody(trailer: Platform, entries: tuple[str, ...]) -> None:
    found = logs(trailer, *entries)
    assert "Shown:" not in peaks(found) and "If it is that" in peaks(found)
    assert all(one.verdict != "own-clock" for one in found.standing.tries)


def test_a_draw_that_went_with_it_is_no_clock(trailer: Platform) -> None:
    """It drew 2 A, far above what the sender takes when it wakes, and that went with the same fuse."""
    later = (
        'at: "2026-05-06 08:00", total: 2.00A, steady: yes', 'at: "2026-05-06 08:05", out: [F.F1]',
        'at: "2026-05-06 08:30", total: 0.02A, steady: yes',
    )  # fmt: skip
    found = logs(trailer, FIRST, OUT, DOWN, BACK, LAST, *later)
    assert all(one.verdict != "own-clock" for one in found.standing.tries)
