"""Whole jobs with a night's log, judged by what a stranger worked out with pencil and paper (`whole_jobs.py`). The points
are numbered as the stranger numbered them; what the program cannot say, or says otherwise, is told at the test."""

from functools import cache
from pathlib import Path

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.logs import Log
from circuitmap.flows.job import Added, add_to_card, diagnosis_now
from circuitmap.jobs.card_writing import new_card
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.recording.whole_jobs import JOBS, write_job

BY_NAME = {job.name: job for job in JOBS}


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("jobs")


@cache
def logged(name: str, room: Path) -> Added:
    job = BY_NAME[name]
    write_job(job, room)
    card = room / f"{name}.yaml"
    card.write_text(new_card([("platform", name), ("complaint", job.complaint), ("battery", job.battery)]))
    add_to_card(card, "locked", at=job.locked[:16])
    return add_to_card(card, f"logged {name}.csv", at=f"{job.locked[:8]}{int(job.locked[8:10]) + 1:02d} 07:30")


def log_of(added: Added) -> Log:
    log = added.job.evidence.readings[-1].log
    assert log is not None
    return log


def first_parts(diagnosis: Diagnosis, many: int) -> set[str]:
    return {one.part for one in diagnosis.parts[:many]}


def said(added: Added) -> str:
    return " ".join(" ".join(job_text(added.job, [])).split())


def test_a_waking_that_comes_again_and_again(room: Path) -> None:
    added = logged("waking", room)
    log = log_of(added)
    (kind,) = log.night.kinds if log.night is not None else ()
    assert log.floor == pytest.approx(0.014, abs=0.001) and log.mean == pytest.approx(0.1297, abs=0.001)  # L1.1, L1.5
    assert kind.period == pytest.approx(345 / 60, abs=0.02) and kind.times == 103  # L1.4; the last is cut off
    assert kind.lasts.high == pytest.approx(75 / 60) and log.drew == pytest.approx(0.790, abs=0.002)  # L1.2
    assert log.comes_and_goes and added.job.standing.stage == "draws"
    diagnosis = diagnosis_now(added.job)
    assert diagnosis.subjects[0].about == "N1" and first_parts(diagnosis, 2) == {"A6", "S5"}
    assert not first_parts(diagnosis, 4) & {"A4", "A5"}
    # L1.6 (live data, or volts at A6 pin 5, and no fuse first) is not met: a scan wakes the vehicle, and is held to cost
    # more than a fuse that ends it.
    assert diagnosis.tests.choices
    assert "At 0.13 A it no longer starts after 5 to 11 days" in said(added)  # L1.5: 7.7 days
    words = " ".join(suspects_text(added.job.platform, diagnosis).split())
    assert "wakes by its own clock" in words and "every 5 min 45 s" in words and "Not looked for" not in words
    assert "A fuse that shows nothing at the floor is not cleared" in words


def test_a_draw_that_begins_an_hour_after_sleep(room: Path) -> None:
    """The stranger names K4; the program leads with K5, whose fan takes as much, until somebody says how the thermostat
    stood. It does not use how the current falls with the volts (L2.3)."""
    added = logged("late", room)
    log = log_of(added)
    assert log.state == "stayed on" and log.floor == pytest.approx(0.021, abs=0.001)  # L2.1
    (step,) = log.night.still_on if log.night is not None else ()
    assert step.amps == pytest.approx(4.05, abs=0.02) and step.minutes == pytest.approx(4285 / 60, abs=0.1)
    words = " ".join(suspects_text(added.job.platform, diagnosis_now(added.job)).split())
    assert "Perhaps S8 (warm, cold) stood otherwise then" in words
    told = add_to_card(room / "late.yaml", "set S8 cold", at="2031-01-15 07:40")
    diagnosis = diagnosis_now(told.job)
    assert {"K4", "K5"} >= {one.about for one in diagnosis.subjects[:2]}
    assert not first_parts(diagnosis, 3) & {"A1", "A3", "A4", "S6", "E7"}
    assert diagnosis.tests.choices[0].action.tells != "what is left"  # L2.5: nothing pulled before the relay was read


def test_a_fan_that_runs_on_for_hours(room: Path) -> None:
    added = logged("fan", room)
    log = log_of(added)
    assert log.state == "ran on" and log.floor == pytest.approx(0.019, abs=0.001)  # L3.1
    assert log.drew == pytest.approx(2.54, abs=0.02) and "long after it should have slept" in said(added)
    diagnosis = diagnosis_now(added.job)
    assert diagnosis.subjects[0].about == "K3" and {"K3", "S7"} <= first_parts(diagnosis, 4)
    assert "M1" not in first_parts(diagnosis, 3)
    assert diagnosis.tests.choices[0].action.tells != "what is left"  # L3.5: a stuck contact frees itself


def test_nothing_wrong(room: Path) -> None:
    added = logged("sound", room)
    log = log_of(added)
    assert log.state == "floor" and log.mean == pytest.approx(0.0269, abs=0.0005)  # L4.4: not the 41 mA of all night
    once, clock = log.night.kinds if log.night is not None else ()
    assert (once.times, once.amps) == (1, pytest.approx(0.332, abs=0.003))  # L4.3
    assert clock in log.sound and clock.amps == pytest.approx(0.081, abs=0.002)  # L4.2
    assert added.job.standing.stage == "no-draw" and "NO DRAW FOUND while we watched (8 h)" in said(added)
    assert "is it the battery?" in said(added) and "out BOX" not in said(added)  # L4.6
