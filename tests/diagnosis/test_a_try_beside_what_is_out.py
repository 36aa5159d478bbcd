"""Of two faults the smaller is found with the larger one left out: what goes then is weighed against what that left.
Worked out by hand: a heater of 30 W takes 2.5 A, a controller kept awake 0.18 A; 4 % of 2.68 A would hide it."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.choosing_readings import after_a_reset
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

CAB = """\
platform "Small sweeper" supply 12V sleep 4min..6min limit 30mA
battery BAT 95Ah
fuse F1 15A mini "heater", F2 10A mini "controller"
bar B1 feeds F1, F2
module HEAT "heater" supply 1 ground 2 wake 3 by plus asleep 1mA awake 2.5A
module CTRL "controller" supply 1 ground 2 wake 5 by ground asleep 2mA awake 180mA
switch HEATSW "heater switch" positions off, on closes 1 to 2 in on
switch DOOR "door contact" positions shut, open closes 1 to case in open
connector X1 "door plug"
ground G1
BAT.- -> G1
BAT.+ -> B1 in RD 16
F1 -> SP1
SP1 -> HEAT.1, HEATSW.1
HEATSW.2 -> HEAT.3
F2 -> CTRL.1
DOOR.1 -> X1.1 -> CTRL.5
HEAT.2, CTRL.2 -> G1
splice SP1
"""
READ = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 08:30, total: 2.68A, read: {F1: 11.5mV, F2: 1.4mV}, steady: yes, looked: yes",
)
HEATER_OUT = ("at: 09:00, out: [HEATSW]", "at: 09:20, total: 0.18A, steady: yes")
DOOR_OUT = ("at: 09:30, out: [DOOR]", "at: 09:45, total: 0.18A, steady: yes", "at: 09:46, back: [DOOR]")
PLUG_OUT = ("at: 09:50, out: [X1]", "at: 10:05, total: {left}, steady: yes", "at: 10:06, back: [X1]")
BACK = "at: 10:15, total: 0.18A, steady: yes"


@pytest.fixture(scope="module")
def cab() -> Circuit:
    return circuit_from(CAB)


def asked(its: Circuit, *entries: str) -> tuple[Diagnosis, Evidence]:
    return told(its, *READ, *HEATER_OUT, *DOOR_OUT, *entries)


def plug_out(left: str) -> tuple[str, ...]:
    return tuple(entry.format(left=left) for entry in PLUG_OUT)


def test_what_ends_the_smaller_draw_is_beyond_what_was_out(cab: Circuit) -> None:
    its = chances(asked(cab, *plug_out("0.00A"), BACK)[0])
    assert its["wire DOOR.1 to X1.1"] > 0.9
    assert its.get("CTRL", 0.0) < 0.05


def test_what_leaves_the_smaller_draw_as_it_was_clears_what_is_beyond(cab: Circuit) -> None:
    its = chances(asked(cab, *plug_out("0.18A"), BACK)[0])
    assert its.get("wire DOOR.1 to X1.1", 0.0) < 0.05
    assert its["CTRL"] + its["wire X1.1 to CTRL.5"] > 0.8


@pytest.mark.parametrize("left", ["0.00A", "0.18A"])
def test_it_weighs_as_it_would_without_the_larger_fault(cab: Circuit, left: str) -> None:
    """The same tries on a vehicle with the smaller fault alone."""
    alone = (
        READ[0], "at: 08:30, total: 0.18A, read: {F1: 0.0mV, F2: 1.4mV}, steady: yes, looked: yes", *DOOR_OUT,
        *plug_out(left), BACK,
    )  # fmt: skip
    both, single = chances(asked(cab, *plug_out(left), BACK)[0]), chances(told(cab, *alone)[0])
    for part in ("CTRL", "wire DOOR.1 to X1.1", "wire X1.1 to CTRL.5"):
        assert both.get(part, 0.0) == pytest.approx(single.get(part, 0.0), abs=0.15)


PROVEN = ("at: 09:21, back: [HEATSW]", "at: 09:25, total: 2.68A, steady: yes", "at: 09:26, out: [HEATSW]")
LEFT = "at: 09:29, total: 0.18A, steady: yes"


def test_the_smaller_draw_that_is_back_is_no_draw_that_went(cab: Circuit) -> None:
    """The larger part is still out: what is read then is of a vehicle on which the smaller fault is there again. Once
    all is in again, what was read before still counts."""
    so_far = (*READ, *HEATER_OUT, *PROVEN, LEFT, *plug_out("0.00A"))
    again = (BACK, "at: 10:16, volts: {CTRL.5: 0.0V}", "at: 10:20, back: [HEATSW]", "at: 10:35, read: {F2: 1.4mV}")
    _, back = told(cab, *so_far, *again)
    assert any(one.back is not None and one.back.without == ("HEATSW",) for one in back.tries)
    assert not back.gone
    assert not after_a_reset(back.readings, back.tries)
    _, away = told(cab, *so_far, "at: 10:15, total: 0.05A, steady: yes")
    assert len(away.gone) == 1
