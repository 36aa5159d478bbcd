"""A draw that goes with a fuse out, and stays away with it in again, was reset or went by itself: it says nothing of how
much flows through that fuse. The fuse's own zero is then not held against it. Worked out by hand: a module with two feeds
starts anew when one of them is cut, and what it believed of its inputs is forgotten."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

COUPE = """\
platform "Tarn 3 coupe" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 70Ah
box BX
fuse BX.F1 15A mini "body control, locks", BX.F2 10A mini "body control, lamps", BX.F3 10A mini "climate control"
fuse BX.F4 10A mini "seat control"
bar BX.B1 feeds BX.F1..F4
switch FLAP "fuel flap contact" positions shut, open closes 1 to 2 in open
module BODYC "body control" supply 1, 2 ground 3 sense 6 by ground asleep 3mA awake 350mA..450mA
module CLIM "climate control" supply 1 ground 2 asleep 2mA awake 90mA..110mA
module SEATC "seat control" supply 1 ground 2 asleep 2mA awake 90mA..110mA
network NET can members BODYC (7, 8), CLIM (7, 8), SEATC (7, 8)
ground G1
BAT.- -> G1
BAT.+ -> BX.B1
BX.F1 -> BODYC.1
BX.F2 -> BODYC.2
BX.F3 -> CLIM.1
BX.F4 -> SEATC.1
BODYC.6 -> FLAP.1
FLAP.2, BODYC.3, CLIM.2, SEATC.2 -> G1
"""
DREW = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.60A}")
OUT = ("at: 09:10, out: [BX.F1]", "at: 09:40, read: {BAT: 0.01A}", "at: 09:41, back: [BX.F1]")
STAYED = "at: 10:10, read: {BAT: 0.01A}"
CAME = "at: 10:10, read: {BAT: 0.60A}"
UP_AGAIN = "at: 12:00, read: {BAT: 0.60A, BX.F1: 0.00A, BX.F2: 0.40A, BX.F3: 0.10A, BX.F4: 0.10A}"


@pytest.fixture(scope="module")
def coupe() -> Circuit:
    return circuit_from(COUPE)


def chance(answer: Diagnosis, *parts: str) -> float:
    return sum(one.probability for one in answer.parts if one.part in parts)


def test_what_was_reset_is_held_against_no_reading_and_none_is_read_again_for_it(coupe: Circuit) -> None:
    answer = told(coupe, *DREW, *OUT, STAYED, UP_AGAIN)[0]
    again = [test.action.parts for test in answer.tests.choices if test.action.doing == "read-again"]
    assert again == []
    text = " ".join(suspects_text(coupe.platform, answer).split())
    assert "with BX.F1 out: back to normal, and it stayed away with all in again: reset, or by itself" in text


def test_a_reset_speaks_for_the_module_that_lost_a_feed_and_clears_nobody(coupe: Circuit) -> None:
    without = told(coupe, *DREW, UP_AGAIN)[0]
    reset = told(coupe, *DREW, *OUT, STAYED, UP_AGAIN)[0]
    assert chance(reset, "BODYC", "FLAP") > 1.2 * chance(without, "BODYC", "FLAP")
    others = chance(without, "CLIM", "SEATC")
    assert 0.1 * others < chance(reset, "CLIM", "SEATC") < others
    assert chance(reset, "something on BX.F1") < 0.05


def test_what_came_back_still_says_that_it_flows_there(coupe: Circuit) -> None:
    """The same fuse, the draw there again: what remains hangs on it, whatever it showed."""
    its = (*DREW, *OUT, CAME, CAME.replace("10:10", "10:20"))
    stayed = told(coupe, *DREW, *OUT, STAYED, CAME.replace("10:10", "12:00"))[0]
    came = told(coupe, *its)[0]
    assert chance(came, "something on BX.F1", "wiring behind BX.F1") > 3.0 * chance(
        stayed, "something on BX.F1", "wiring behind BX.F1"
    )
