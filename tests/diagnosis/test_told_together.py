"""What stands beside what, and what a step tells: one name for what nobody could look for apart, the stronger step."""

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

PANEL = """\
platform "Small truck" sleep 5min..10min limit 30mA
battery BAT 95Ah
box MAIN
fuse MAIN.F8 10A mini, MAIN.F9 10A mini, MAIN.F10 10A mini
bar MAIN.B1 feeds MAIN.F8, MAIN.F9, MAIN.F10
switch STEP "step switch" positions in, out closes 1 to 2 in out
lamp L1 "entry lamp" running 0.42A
module CLOCK "clock" supply 1 ground 2 asleep 1mA awake 50mA
motor PUMP "pump" running 4A
switch P "pump switch" positions off, on closes 1 to 2 in on
ground G1
BAT.- -> G1
BAT.+ -> MAIN.B1 in RD 16
MAIN.F8 -> L1 -> STEP.1 in RD 1
STEP.2 -> G1 in BN 1
MAIN.F9 -> CLOCK.1 in RD 1
CLOCK.2 -> G1 in BN 1
MAIN.F10 -> P.1 in RD 1
P.2 -> PUMP -> G1 in BN 1
"""
READ = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 08:46, read: {BAT: 0.34A, F8: 2.3mV, F9: 0.0mV, F10: 0.0mV}",
    "at: 08:52, out: [STEP, L1]",
    "at: 09:10, read: {BAT: 0.34A}",
)


@pytest.fixture(scope="module")
def found() -> Diagnosis:
    return told(circuit_from(PANEL), *READ)[0]


def test_an_unknown_current_at_a_fuse_is_told_with_something_there_on_no_sheet(found: Diagnosis) -> None:
    names = [part.part for part in found.subjects[0].parts]
    assert names[0] == "something on MAIN.F8" and "unknown at MAIN.F8" in names
    unknown = next(part for part in found.parts if part.part == "unknown at MAIN.F8")
    assert unknown.probability > 0.05, "likely enough to be told"
    assert "unknown at" not in suspects_text(circuit_from(PANEL).platform, found)


def test_the_step_that_tells_them_apart_is_the_first_that_shows_it(found: Diagnosis) -> None:
    text = suspects_text(circuit_from(PANEL).platform, found)
    first = found.tests.choices[0]
    assert first.action.doing == "follow" and any(b.outcome == "found" and b.probability > 0.5 for b in first.branches)
    assert "TELL BY    NEXT 1 (" in text
