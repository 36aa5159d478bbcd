"""How long a log ran and how long each of its events lasts are two things; a log of which nobody says how long it ran is
not one of no minutes: that is asked. Source: eight hours make a night, an hour is the least (judgement, as elsewhere)."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.jobs.short_line import entry_of
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

KIOSK = """\
platform "Tarn Ebbel kiosk van" supply 12V return body sleep 10min..20min limit 50mA
battery BAT 80Ah
box CAB
fuse CAB.F1 20A mini, CAB.F2 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2
module COLD "cold shelf" supply 1 ground 2 asleep 5mA awake 120mA
motor FAN "fan" running 3A
switch FSW positions off, on closes 1 to 2 in on
ground G1
sheet "1" whole
BAT.+ -> CAB.B1
CAB.F1 -> FSW.1
FSW.2 -> FAN.1
CAB.F2 -> COLD.1
COLD.2, FAN.2 -> G1
BAT.- -> G1
"""
LOCKED = 'at: "2026-03-01 17:00", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes'


def log(more: str, at: str = "2026-03-02 08:00", peak: str = "20mA") -> str:
    return f'at: "{at}", log: {{floor: 10mA, peak: {peak}, mean: 11mA{more}}}'


@pytest.fixture(scope="module")
def kiosk() -> Circuit:
    return circuit_from(KIOSK)


def job(kiosk: Circuit, *entries: str) -> Job:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    return job_from(kiosk.platform, text, "job.yaml")


def told(kiosk: Circuit, *entries: str) -> str:
    its = job(kiosk, *entries)
    assert not its.problems, its.problems
    said = standing_text(kiosk.platform, its.standing, Clock(its.card))
    return " ".join([*said, suspects_text(kiosk.platform, diagnose(kiosk, its.evidence))]).replace("\n", " ")


def words(text: str) -> str:
    return " ".join(text.split())


def test_a_log_shorter_than_its_period_is_refused_with_both_meanings(kiosk: Circuit) -> None:
    (problem,) = job(kiosk, LOCKED, log(", period: 40min, for: 3min")).problems
    assert "how long the log ran" in problem.headline and "3min" in problem.headline and "40min" in problem.headline
    assert "lasts 3min" in problem.advice and "for 13h" in problem.advice
    assert not job(kiosk, LOCKED, log(", period: 40min, for: 40min")).problems


def test_how_long_each_lasts_has_a_key_of_its_own(kiosk: Circuit) -> None:
    line = "log BAT floor 10mA peak 3A mean 0.3A every 40min lasts 3min for 13h"
    assert dict(dict(entry_of(kiosk.platform, line).fields)["log"])["lasts"] == "3min"
    its = job(
        kiosk, LOCKED, 'at: "2026-03-02 08:00", log: {floor: 10mA, peak: 3A, mean: 0.3A, every: 40min, lasts: 3min}'
    )
    assert not its.problems
    (reading,) = its.evidence.readings
    assert reading.log is not None and reading.log.up_for == pytest.approx(3.0) and reading.log.duration is None


def test_where_it_is_not_said_it_is_asked(kiosk: Circuit) -> None:
    text = words(told(kiosk, LOCKED, log("")))
    assert "How long did the log at BAT run? That is not on the card, by its times 14 h 50 min at the most" in text
    assert "of 0 min" not in text and "1 Log the total overnight" not in text
    said = words(told(kiosk, LOCKED, log(", for: 13h")))
    assert "How long did the log" not in said and "NO DRAW FOUND while we watched" in said


MENDED = (
    'at: "2026-02-28 16:00", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes',
    'at: "2026-03-01 15:00", total: 3.01A, steady: yes', 'at: "2026-03-01 15:05", out: [FSW]',
    'at: "2026-03-01 15:30", total: 10mA, steady: yes', 'at: "2026-03-01 15:32", back: [FSW]',
    'at: "2026-03-01 15:50", total: 3.01A, steady: yes', 'at: "2026-03-01 16:00", mended: "FSW new"', LOCKED,
)  # fmt: skip


def test_after_mending_it_is_asked_too_and_shows_no_repair(kiosk: Circuit) -> None:
    its = job(kiosk, *MENDED, log(""))
    assert (its.standing.stage, its.standing.after.why) == ("mended", "how-long")
    text = words(told(kiosk, *MENDED, log("")))
    assert "How long the log at BAT ran is not on the card, by its times 14 h 50 min at the most" in text
    assert "of 0 min" not in text and "Add it again with that (for 9h)" in text
    assert job(kiosk, *MENDED, log(", for: 14h")).standing.stage == "repaired"
    again = job(kiosk, *MENDED, log(""), log(", for: 14h"))
    assert again.standing.stage == "repaired"
