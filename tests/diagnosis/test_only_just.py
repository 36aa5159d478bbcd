"""Readings that go together only by what the cold resistance of a fuse may be off are read again, and nothing is stated
outright on them. Worked out with the published resistances (evidence/fuse_drop.py); that a row is counted from the wrong
end is common practice, no source."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.only_just import only_just
from circuitmap.evidence.fuse_drop import cold_resistance
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

ROW = """\
platform "Market stall trailer" sleep 5min..10min limit 50mA
battery BAT 100Ah
box REAR
fuse FEED 60A
fuse REAR.F1 15A mini "awning lamps", REAR.F2 15A mini "sign lamps", REAR.F3 5A mini "relay coils"
bar REAR.B1 feeds REAR.F1..F3
relay REAR.K1 "awning lamps" make running 150mA
relay REAR.K2 "sign lamps" make
lamp L1 "awning lamps" running 1.33A
ground G1
BAT.- -> G1
BAT.+ -> FEED -> REAR.B1
REAR.F1 -> REAR.K1.30
REAR.K1.87 -> L1 -> G1
REAR.F2 -> REAR.K2.30
REAR.F3 -> REAR.K1.86, REAR.K2.86
"""
LOCKED = "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes"
RESISTANCE = cold_resistance("mini", 15.0)
assert RESISTANCE is not None
PER_AMPERE = RESISTANCE.milliohms


@pytest.fixture(scope="module")
def row() -> Circuit:
    return circuit_from(ROW)


def read(row: Circuit, at_f2: float, coils: str = "2.6mV", *more: str) -> Diagnosis:
    """The feeder carries 1.47 A; so many A are read, by millivolts, at the sign lamps' fuse."""
    its = f"REAR.F1: 0.0mV, REAR.F2: {at_f2 * PER_AMPERE:.1f}mV, REAR.F3: {coils}"
    fed = "at: 08:40, read: {BAT: 1.47A, FEED: 1.47A}, steady: yes"
    return told(row, LOCKED, fed, f"at: 08:45, read: {{{its}}}", *more)[0]


def test_what_fits_by_the_resistance_alone_is_read_again_and_not_stated(row: Circuit) -> None:
    found = read(row, 1.80)
    (its,) = only_just(found.netted)
    assert its.place == "FEED" and its.by[0] == "REAR.F2" and its.found > 1.9
    assert found.contradictions == () and not found.tests.mend
    assert found.tests.choices[0].action.parts == ("REAR.F2",)
    assert found.tests.choices[0].action.doing == "read-again"
    assert all(part.probability < 0.9 for part in found.parts)
    said = " ".join(suspects_text(row.platform, found).split())
    assert "that only just goes together, by what the resistance of REAR.F2 may be off" in said
    assert "STOP" not in said and "over 99 in 100) MAY BE" not in said


def test_what_fits_well_or_not_at_all_is_no_such_sum(row: Circuit) -> None:
    assert only_just(read(row, 1.40).netted) == ()
    assert only_just(read(row, 1.20).netted) == ()
    beyond = read(row, 3.0)
    assert beyond.contradictions and only_just(beyond.netted) == ()


def test_read_twice_it_is_no_slip(row: Circuit) -> None:
    again = f"at: 08:50, read: {{REAR.F2: {1.80 * PER_AMPERE:.1f}mV}}"
    found = read(row, 1.80, "2.6mV", again)
    assert only_just(found.netted, found.netted.read_twice) == ()
    assert found.tests.choices == () or found.tests.choices[0].action.doing != "read-again"


def test_a_printed_figure_that_is_met_is_told_against_a_coil_of_which_nothing_is_printed(row: Circuit) -> None:
    said = " ".join(suspects_text(row.platform, read(row, 1.80)).split())
    assert "the coil of REAR.K1 takes that, as typed in; the answer has it for the coil of REAR.K2" in said
