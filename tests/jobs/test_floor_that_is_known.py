"""A floor that the sheets account for is no second thing beside what comes and goes: it is held against the limit with
what is known to flow as the switches stand, as the head of the answer is. Source: the sums of what is typed in."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

BARGE = """\
platform "Welland Reach 50 barge" supply 12V return body sleep 5min..10min limit 40mA
battery HOUSE 200Ah
box CAB
fuse CAB.F1 20A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1..F3
switch ISO "isolator" positions off, on closes 1 to 2 in on
module ALARM "gas alarm" supply 1 ground 2 asleep 105mA..115mA awake 150mA
module TEMP "tank heater control" supply 1 ground 2 asleep 6mA awake 90mA
motor CHILL "cool box" supply 1 ground 2 running 4A
switch CSW "cool box switch" positions off, on closes 1 to 2 in on
ground G1
sheet "1" whole
HOUSE.+ -> ISO.1
ISO.2 -> CAB.B1
CAB.F1 -> CSW.1
CSW.2 -> CHILL.1
CAB.F2 -> ALARM.1
CAB.F3 -> TEMP.1
CHILL.2, ALARM.2, TEMP.2 -> G1
HOUSE.- -> G1
"""
ON = (
    'at: "2026-03-01 18:00", state: locked, stands: {ISO: "on"}, meter: low current clamp, resolution: 1mA, zeroed: yes'
)


@pytest.fixture(scope="module")
def barge() -> Circuit:
    return circuit_from(BARGE)


def job(barge: Circuit, floor: str, mean: str) -> Job:
    log = f'at: "2026-03-02 07:00", log: {{floor: {floor}, peak: 4.1A, mean: {mean}, for: 12h, every: 40min}}'
    found = job_from(barge.platform, f"job: 1\nplatform: x\nentries:\n  - {{{ON}}}\n  - {{{log}}}\n", "job.yaml")
    assert not found.problems, found.problems
    return found


def told(barge: Circuit, its: Job) -> str:
    return " ".join(suspects_text(barge.platform, diagnose(barge, its.evidence)).split())


def test_a_floor_that_is_accounted_for_is_no_second_thing(barge: Circuit) -> None:
    its = job(barge, "117mA", "0.9A")
    (reading,) = its.evidence.readings
    assert reading.log is not None and reading.log.comes_and_goes and not reading.log.two_draws
    assert reading.log.limit == pytest.approx(its.standing.limits.at("HOUSE")) and reading.log.limit > 0.117
    assert "is a second thing" not in told(barge, its) and "comes and goes every 40 min is looked for" in told(
        barge, its
    )


def test_a_floor_above_that_is_one(barge: Circuit) -> None:
    its = job(barge, "400mA", "1.2A")
    assert "0.40 A is a second thing, looked for while it is down" in told(barge, its)


def test_nothing_that_is_known_leaves_the_limit_as_it_is(barge: Circuit) -> None:
    off = ON.replace('"on"', '"off"')
    log = 'at: "2026-03-02 07:00", log: {floor: 0.1A, peak: 4.1A, mean: 0.9A, for: 12h, every: 40min}'
    its = job_from(barge.platform, f"job: 1\nplatform: x\nentries:\n  - {{{off}}}\n  - {{{log}}}\n", "job.yaml")
    assert its.evidence.readings[0].log is not None and its.evidence.readings[0].log.limit == pytest.approx(0.040)
    assert its.evidence.readings[0].log.two_draws
