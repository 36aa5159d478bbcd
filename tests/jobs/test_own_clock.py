"""Peaks in a log that come as a part wakes by its own clock are told as that, and are not hunted."""

import pytest

from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.own_clock import own_clock_sentences
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
