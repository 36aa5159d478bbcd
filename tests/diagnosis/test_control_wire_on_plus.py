"""A control wire rubbed onto its neighbour's plus takes its coil's current from that neighbour's fuse. Worked out by
hand: 0.15 A of a coil at a fuse that has no relay, and nothing more at the fuse of the module that drives it."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

GRITTER = """\
platform "Calder gritter" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 110Ah
box CAB
fuse MAIN 80A bolted
fuse CAB.F1 10A mini "body computer", CAB.F2 10A mini "spinner sensor", CAB.F3 10A mini "radio"
fuse CAB.F6 20A mini "vibrator relay"
bar CAB.B1 feeds CAB.F1..F3, CAB.F6
module BCU "body computer" supply 1 ground 2 asleep 2mA awake 150mA
module SENS "spinner sensor" supply 1 ground 2 asleep 2mA
module RADIO "radio" supply 1 ground 2 asleep 2mA
relay K4 "vibrator relay" make running 150mA
motor VIB "vibrator" running 3A
connector X5 "cab rear wall"
ground G1
output BCU.9 feeds from 1 "vibrator relay"
BAT.- -> G1
BAT.+ -> MAIN -> CAB.B1 in RD 16
CAB.F1 -> BCU.1 in RD 1
CAB.F2 -> X5.1 -> SENS.1 in RD/GN 1
CAB.F3 -> RADIO.1 in RD 1
CAB.F6 -> K4.30 in RD 2.5
BCU.9 -> X5.2 -> K4.86 in BU 0.75
K4.85 -> G1 in BN
K4.87 -> VIB.1 in BK 2.5
VIB.2, BCU.2, SENS.2, RADIO.2 -> G1 in BN
"""
WIRE = "control wire of K4"
DREW = "at: 08:00, state: locked, meter: low current clamp, zeroed: yes"
FEEDERS = "at: 09:00, total: 3.16A, read: {MAIN: 3.16A, F6: 3.00A}"
AT_THE_NEIGHBOUR = "at: 09:05, total: 3.16A, read: {F1: 0.00A, F2: 0.15A, F3: 0.00A}"


@pytest.fixture(scope="module")
def gritter() -> Circuit:
    return circuit_from(GRITTER)


def answered(its: Circuit, *entries: str) -> Diagnosis:
    return told(its, DREW, *entries)[0]


def chance_of(answer: Diagnosis, part: str) -> float:
    return sum(one.probability for one in answer.parts if one.part.startswith(part))


def test_while_nobody_read_where_the_coil_is_fed_both_stay(gritter: Circuit) -> None:
    answer = answered(gritter, FEEDERS)
    assert chance_of(answer, WIRE) > 0.2
    assert chance_of(answer, "BCU") > 0.2
    assert not answer.tests.mend


def test_the_neighbours_current_is_the_coils(gritter: Circuit) -> None:
    """One fault explains it: nothing at the sensor's fuse is left over, nor is the sensor blamed."""
    answer = answered(gritter, FEEDERS, AT_THE_NEIGHBOUR)
    assert answer.subjects[0].about == "K4"
    assert chance_of(answer, WIRE) > 0.9
    assert answer.two_faults < 0.1
    assert chance_of(answer, "SENS") < 0.1


def test_the_drivers_own_fuse_speaks_for_the_driver(gritter: Circuit) -> None:
    answer = answered(gritter, FEEDERS, "at: 09:05, total: 3.16A, read: {F1: 0.15A, F2: 0.00A, F3: 0.00A}")
    assert chance_of(answer, "BCU") > 0.9


def test_volts_at_the_coil_with_the_driver_out_tell(gritter: Circuit) -> None:
    before = ("at: 09:10, out: [BCU]", "at: 09:30, total: 3.16A")
    bare = answered(gritter, FEEDERS, *before)
    live = answered(gritter, FEEDERS, *before, "at: 09:31, volts: {K4.86: 12.3V}")
    dead = answered(gritter, FEEDERS, *before, "at: 09:31, volts: {K4.86: 0.0V}")
    assert chance_of(live, WIRE) > chance_of(bare, WIRE) > chance_of(dead, WIRE)
    assert chance_of(live, WIRE) > 0.9
    said = " ".join(suspects_text(gritter.platform, live).split())
    assert "K4.86 tell nothing" not in said


def test_one_look_at_the_relays_volts_decides_between_coil_and_contact(gritter: Circuit) -> None:
    feeder = "at: 09:00, total: 3.16A, read: {F6: 3.00A}"
    before = answered(gritter, feeder)
    held, stuck = (answered(gritter, feeder, f"at: 09:08, relays: {{K4: {seen}}}") for seen in ("held", "stuck"))
    assert chance_of(stuck, "K4") > 0.8 > chance_of(before, "K4") > chance_of(held, "K4")


def test_the_fuse_it_touches_is_named_once_it_was_out(gritter: Circuit) -> None:
    out = (
        "at: 09:10, volts: {K4.86: 12.3V}", "at: 09:20, out: [F2]", "at: 09:40, total: 0.006A, volts: {K4.86: 0.0V}",
        "at: 09:41, back: [F2]", "at: 10:00, total: 3.16A",
    )  # fmt: skip
    answer = answered(gritter, FEEDERS, AT_THE_NEIGHBOUR, *out)
    assert answer.parts[0].part == f"{WIRE}, against the wire of CAB.F2"


def test_nothing_is_finished_while_something_is_left_over(gritter: Circuit) -> None:
    """What leads may be right; 1 A at the radio's fuse is then a second thing to look for."""
    more = "at: 09:05, total: 4.16A, read: {F1: 0.00A, F2: 0.15A, F3: 1.00A, MAIN: 4.16A}"
    answer = answered(gritter, "at: 09:00, total: 4.16A, read: {F6: 3.00A}", more)
    said = suspects_text(gritter.platform, answer)
    assert "STOP" not in said
    assert any(name in said for name in ("RADIO", "CAB.F3"))
