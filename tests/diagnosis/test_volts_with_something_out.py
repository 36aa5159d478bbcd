"""Volts at a pin that watches a switch count with something out, too, where that does not touch the pin; and ground over
a diode is that diode's volts above ground. All of it as somebody at the car would think."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

CAB = """\
platform "Small sweeper" supply 12V sleep 4min..6min limit 30mA
battery BAT 95Ah
fuse F1 15A mini "heater", F2 10A mini "controller"
bar B1 feeds F1, F2
heater HEAT running 30W
module CTRL "controller" supply 1 ground 2 wake 5 by ground asleep 2mA awake 180mA
switch HEATSW "heater switch" positions off, on closes 1 to 2 in on
switch DOOR "door contact" positions shut, open closes 1 to case in open
diode D1
ground G1
BAT.- -> G1
BAT.+ -> B1 in RD 16
F1 -> HEATSW.1
HEATSW.2 -> HEAT -> G1
F2 -> CTRL.1
CTRL.5 -> D1 -> DOOR.1
CTRL.2 -> G1
"""
READ = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 08:30, total: 0.18A, read: {F1: 0.0mV, F2: 1.4mV}, steady: yes, looked: yes",
)
NEAR, FAR = "wire D1.1 to CTRL.5", "wire DOOR.1 to D1.2"


@pytest.fixture(scope="module")
def cab() -> Circuit:
    return circuit_from(CAB)


def with_out(its: Circuit, out: str, volts: str = "") -> dict[str, float]:
    """The door's contact was out for nothing; then its wire's volts are read, with something out or with nothing."""
    door = ("at: 08:40, out: [DOOR]", "at: 08:50, total: 0.18A, steady: yes", "at: 08:51, back: [DOOR]")
    out_now = (f"at: 09:00, out: [{out}]",) if out else ()
    read = (f"at: 09:10, volts: {{CTRL.5: {volts}}}",) if volts else ()
    return chances(told(its, *READ, *door, *out_now, *read)[0])


@pytest.mark.parametrize("volts", ["0.0V", "0.6V", "11.9V"])
def test_what_is_on_another_fuse_does_not_silence_a_pin(cab: Circuit, volts: str) -> None:
    other, none = with_out(cab, "HEATSW", volts), with_out(cab, "", volts)
    assert other["CTRL"] == pytest.approx(none["CTRL"], abs=0.02)
    before = with_out(cab, "HEATSW")
    grounded = volts != "11.9V"
    assert (other["CTRL"] < 0.8 * before["CTRL"]) == grounded
    assert (other["CTRL"] > before["CTRL"]) != grounded


def test_with_the_switch_out_ground_at_the_pin_is_the_wire_s(cab: Circuit) -> None:
    """No switch holds it down any more."""
    out, still_in = with_out(cab, "DOOR", "0.0V"), with_out(cab, "", "0.0V")
    wires = [its.get(NEAR, 0.0) + its.get(FAR, 0.0) for its in (out, still_in)]
    assert wires[0] >= wires[1] > 0.5
    assert out.get("DOOR", 0.0) <= still_in.get("DOOR", 0.0)


def test_without_its_feed_a_pin_says_nothing_of_its_wire(cab: Circuit) -> None:
    before, dead = with_out(cab, "F2"), with_out(cab, "F2", "0.0V")
    assert dead["CTRL"] > 0.7 * before["CTRL"]
    assert with_out(cab, "", "0.0V")["CTRL"] < 0.5 * before["CTRL"]


def test_beyond_what_parts_the_wire_nothing_is_heard(cab: Circuit) -> None:
    """With the diode out ground at the pin is that of the near piece alone, and plus clears that alone."""
    before = with_out(cab, "D1")
    ground, plus = with_out(cab, "D1", "0.0V"), with_out(cab, "D1", "11.9V")
    assert ground[NEAR] > 2.0 * before[NEAR] and ground.get(FAR, 0.0) < before[FAR]
    assert plus.get(NEAR, 0.0) < 0.3 * before[NEAR]
    assert plus[FAR] / plus["CTRL"] == pytest.approx(before[FAR] / before["CTRL"], rel=0.1)


@pytest.mark.parametrize(("volts", "likelier", "other"), [("0.6V", FAR, NEAR), ("0.0V", NEAR, FAR)])
def test_a_diode_s_volts_above_ground_tell_which_side_of_it_is_grounded(
    cab: Circuit, volts: str, likelier: str, other: str
) -> None:
    before, its = with_out(cab, ""), with_out(cab, "", volts)
    assert before[likelier] == pytest.approx(before[other], rel=0.5)
    assert its[likelier] > 5.0 * its[other]


def test_what_was_measured_with_something_else_out_is_not_asked_for_again(cab: Circuit) -> None:
    wrong = ("at: 08:40, inputs: {DOOR: wrong}", "at: 09:00, out: [HEATSW]")
    asked = told(cab, *READ, *wrong)[0]
    assert any(test.action.doing == "input-volts" for test in asked.tests.choices)
    measured = told(cab, *READ, *wrong, "at: 09:10, volts: {CTRL.5: 0.6V}")[0]
    assert not any(test.action.doing == "input-volts" for test in measured.tests.choices)


def test_the_same_volts_once_more_are_neither_told_as_silent_nor_weighed_twice(cab: Circuit) -> None:
    out = ("at: 08:40, out: [DOOR]", "at: 08:50, total: 0.18A, steady: yes, volts: {CTRL.5: 0.0V}")
    once = told(cab, *READ, *out)[0]
    twice = told(cab, *READ, *out, "at: 08:51, back: [DOOR]", "at: 09:00, volts: {CTRL.5: 0.0V}")[0]
    assert chances(twice)["CTRL"] == pytest.approx(chances(once)["CTRL"], abs=0.03)
    assert "CTRL.5 tell nothing" not in " ".join(suspects_text(cab.platform, twice).split())
