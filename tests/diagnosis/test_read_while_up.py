"""A draw that comes and goes is read while it is up before anything is taken out; each step that would show a current
says so. What surely wakes the vehicle says what that costs. Source: at the floor nothing flows that could go."""

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_steps_worth_doing import steps
from tests.diagnosis.test_wires_that_are_left import told

BUS = """\
platform "Alder Wren 14 van" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 90Ah
box CAB "cab panel" at "behind the flap" reach 2min
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini
bar CAB.B1 feeds CAB.F1..F4
module VCM "body controller" supply 1 ground 2 sense 3 asleep 2mA awake 200mA reach 12min
module DISP "display" supply 1 ground 2 asleep 2mA awake 150mA reach 12min
module TOWM "towing module" supply 1 ground 2 asleep 2mA awake 250mA reach 12min
lamp E1 "bunk lamp" running 3A
switch BUNK "bunk lamp switch" positions off, on closes 1 to 2 in on
switch DOOR "door contact" positions shut, open closes 1 to 2 in open
ground G1
network BUS can members VCM (5, 6), DISP (5, 6), TOWM (5, 6)
sheet "1"
BAT.+ -> CAB.B1
CAB.F1 -> VCM.1
CAB.F2 -> DISP.1
CAB.F3 -> TOWM.1
CAB.F4 -> BUNK.1
BUNK.2 -> E1 -> G1
DOOR.1 -> VCM.3
DOOR.2, VCM.2, DISP.2, TOWM.2 -> G1
BAT.- -> G1
"""
LOCKED = 'at: "2026-03-01 18:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
LOG = 'at: "2026-03-02 07:00", log: {floor: 0.02A, peak: 0.62A, mean: 0.30A, for: 12h}'
STEADY = 'at: "2026-03-01 19:00", total: 0.62A, steady: yes'
UP = 'at: "2026-03-02 07:30", total: 0.62A, read: {F1: 0.20A, F2: 0.15A, F3: 0.25A, F4: 0A}, during: event'


def after(*entries: str) -> tuple[Diagnosis, str]:
    its = circuit_from(BUS)
    found = told(its, LOCKED, *entries)[0]
    text = suspects_text(its.platform, found)
    return found, " ".join(text[text.index("\nNEXT") :].split())


def test_nothing_is_taken_out_before_a_fuse_was_read_while_it_is_up() -> None:
    found, text = after(LOG)
    assert steps(found)[0] == ("read-box", tuple(f"CAB.F{n}" for n in range(1, 5)))
    assert not any(test.action.takes_out for test in found.tests.choices)
    assert "1 While it is up: Read the rest of CAB" in text


def test_each_step_that_would_show_a_current_says_when() -> None:
    found, text = after(LOG, UP)
    assert any(test.action.takes_out or test.action.doing == "inputs" for test in found.tests.choices)
    assert text.count("While it is up: ") == len(found.tests.choices)


def test_how_to_read_it_is_told_until_somebody_did() -> None:
    its = circuit_from(BUS)

    def text(*entries: str) -> str:
        return suspects_text(its.platform, told(its, LOCKED, *entries)[0])

    only_the_total = 'at: "2026-03-02 07:20", total: 0.62A, during: event'
    at_the_floor = 'at: "2026-03-02 07:25", total: 0.02A, read: {F1: 0A, F2: 0A}, during: floor'
    assert "WHILE UP" in text(LOG) and "WHILE UP" in text(LOG, only_the_total, at_the_floor)
    assert "WHILE UP" not in text(LOG, UP) and "IN THE LOG" in text(LOG, UP)


def test_a_steady_draw_is_not_waited_for() -> None:
    assert "While it is up" not in after(STEADY)[1]


def test_what_wakes_it_says_how_long_it_takes_to_sleep_again() -> None:
    found, text = after(STEADY, 'at: "2026-03-01 19:10", read: {F1: 0.20A, F2: 0.15A, F3: 0.25A, F4: 0A}, steady: yes')
    (live,) = [test.action for test in found.tests.choices if test.action.doing == "inputs"]
    assert live.sleeps_again == 15.0
    assert "brake and key? 3 min + about 15 min until it sleeps again" in text


def test_what_it_is_up_for_too_short_to_read_in_one_go_is_not_the_step() -> None:
    """Half of the time up, 9 minutes apart: time for one place, none for a row of four fuses, which takes 4.5."""
    often = LOG.replace("for: 12h", "for: 12h, every: 9min")
    found = after(often)[0]
    assert found.netted.totals[0].log is not None
    assert found.netted.totals[0].log.up_for == pytest.approx(9.0 * 0.28 / 0.60)
    assert steps(found)[0][0] != "read-box"
    assert steps(after(LOG.replace("for: 12h", "for: 12h, every: 60min"))[0])[0][0] == "read-box"
