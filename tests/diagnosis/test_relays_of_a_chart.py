"""A relay with what feeds it and what it feeds on a fuse chart, and no wire at its coil. What leads was worked out from
the chart: the bar is dead while parked, so whatever flows there comes through the relay."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import FIRST, Terminal
from tests.diagnosis.test_wires_that_are_left import told
from tests.wiring.written import platform_from

CHART = """\
platform "Ossel yard tractor" supply 12V return body sleep 5min..10min limit 50mA
battery BAT 90Ah
box B "box below the seat"
fuse MAIN 80A bolted
fuse B.F1 10A mini "lift control", B.F2 15A mini "beacon", B.F3 10A mini "hour meter"
fuse B.F8 10A mini "cab heater panel", B.F9 10A mini "display", B.F10 20A mini "wash pump"
bar B.B1 "permanent" feeds B.F1..F3, B.K5.30
bar B.B2 "run" feeds B.F8..F10
relay B.K5 "run relay" make
module LIFT "lift control" asleep 2mA awake 200mA
module HOURS "hour meter" asleep 1mA
module PANEL "cab heater panel" awake 150mA
module SHOW "display" awake 120mA
motor PUMP "wash pump"
switch BEACSW "beacon switch" positions off, on
BAT feeds MAIN
MAIN feeds B.B1
B.K5.87 -> B.B2
B.F1 feeds LIFT
B.F2 feeds BEACSW
B.F3 feeds HOURS
B.F8 feeds PANEL
B.F9 feeds SHOW
B.F10 feeds PUMP
"""
QUIET = ("B.F1: 0.00A", "B.F2: 0.00A", "B.F3: 0.00A")
BAR = ("B.F8: 0.15A", "B.F9: 0.12A", "B.F10: 0.00A")


def found(*read: str, **besides: str) -> tuple[Diagnosis, str]:
    platform = platform_from(CHART)
    assert not [p for p in platform.problems if p.severity.name == "ERROR"], platform.problems
    more = "".join(f", {key}: {{{value}}}" for key, value in besides.items())
    entries = ("at: 08:00, state: locked", f"at: 09:00, total: 0.27A, read: {{{', '.join(read)}}}{more}")
    answer, _ = told(circuit_of(platform), *entries)
    return answer, " ".join(suspects_text(platform, answer).split())


def chance_of(answer: Diagnosis, part: str) -> float:
    return sum(its.probability for its in answer.parts if its.part == part)


def test_its_bar_draws_with_the_key_out() -> None:
    answer, said = found(*QUIET, *BAR)
    assert answer.subjects[0].about == "B.K5"
    assert chance_of(answer, "B.K5") > 0.9
    assert "DEAD?" not in said  # no label says so, and a chart is not asked for ways that it does not show


def test_a_motor_behind_it_may_rest() -> None:
    """A pump has its own switch, or a wash button's: no current at its fuse is no sign against the relay."""
    answer, said = found(*QUIET, *BAR)
    without, _ = found(*QUIET, *BAR[:2])
    assert "BUT" not in said
    assert chance_of(answer, "B.K5") > 0.9 * chance_of(without, "B.K5")


def test_volts_at_what_it_feeds_tell() -> None:
    read = (*QUIET, "B.F8: 0.15A")
    live, said = found(*read, volts="B.F9: 12.4V")
    dead, _ = found(*read, volts="B.F9: 0.0V")
    assert "tell nothing" not in said
    its, other = chance_of(live, "B.K5"), chance_of(dead, "B.K5")
    assert its > 0.9
    assert its / (1.0 - its) > 5.0 * other / (1.0 - other)


@pytest.mark.parametrize(("seen", "kind"), [("stuck", "contact"), ("held", "coil")])
def test_its_contact_or_what_nobody_typed_in_at_its_coil(seen: str, kind: str) -> None:
    answer, _ = found(*QUIET, *BAR, relays=f"B.K5: {seen}")
    row = next(row for row in answer.rows if any(fault.part == "B.K5" for fault in row.faults[0]))
    assert row.faults[0][0].kind == kind
    assert answer.subjects[0].about == "B.K5"


def test_what_a_sheet_calls_hot_at_all_times_is_not_dead() -> None:
    """Where a label says so of a fuse behind it, the relay is one that stays pulled in."""
    circuits = [circuit_of(platform_from(text)) for text in (CHART, CHART + "stated B.F8 always\n")]
    live = [Parked(circuit, {}).live(Terminal("B.F8", FIRST)) for circuit in circuits]
    assert live == [Answer.NO, Answer.MAY_BE]


def test_while_it_may_be_either_both_are_told_and_its_coil_is_measured_first() -> None:
    """No current of its coil was found, and no sheet says how much that is, or where it comes from: likelier stuck, and
    held is told beside it."""
    zeroed = ("at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",)
    read = f"at: 09:00, total: 0.27A, read: {{MAIN: 0.27A, {', '.join((*QUIET, *BAR))}}}, steady: yes"
    its = platform_from(CHART)
    answer, _ = told(circuit_of(its), *zeroed, read)
    said = " ".join(suspects_text(its, answer).split())
    assert "B.K5.87 is stuck closed. Or B.K5, run relay is held in; what drives its coil is on no sheet" in said
    assert answer.tests.mend == "B.K5" and "Before it is touched, volts across its coil" in said
    assert "pierce nothing" in said.split("NEXT")[1]
    measured, _ = told(circuit_of(its), *zeroed, read, "at: 09:10, relays: {B.K5: held}")
    said = " ".join(suspects_text(its, measured).split())
    assert "LOOK AT B.K5, run relay, is held in" in said and "Before it is touched" not in said
    stuck, _ = told(circuit_of(its), *zeroed, read, "at: 09:10, relays: {B.K5: stuck}")
    assert " Or B.K5" not in " ".join(suspects_text(its, stuck).split())


def test_before_its_bar_is_read_nothing_is_stated_outright() -> None:
    """Two small fuses fit what the relay wakes, but where most of it flows nobody has read: two things would look the
    same. With the bar read it is as sure as it is."""
    wakes = CHART.replace('B.F3 10A mini "hour meter"', 'B.F3 10A mini "hour meter, permanent"')
    wakes = wakes.replace('module HOURS "hour meter" asleep 1mA', 'module HOURS "hour meter" asleep 1mA awake 180mA')
    wakes += "B.F9 feeds HOURS\n"
    its = platform_from(wakes)
    zeroed = "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes"
    carrier = "at: 09:00, read: {BAT: 0.55A, MAIN: 0.55A, B.F1: 0.00A, B.F2: 0.00A, B.F3: 0.09A}, steady: yes"
    before, _ = told(circuit_of(its), zeroed, carrier)
    assert before.tests.owed and before.tests.choices[0].action.doing == "read-box"
    assert before.subjects[0].about == "B.K5" and before.subjects[0].probability < 0.9
    bar = "at: 09:10, read: {B.F8: 0.15A, B.F9: 0.21A, B.F10: 0.10A}"
    after, _ = told(circuit_of(its), zeroed, carrier, bar)
    assert not after.tests.owed and after.subjects[0].about == "B.K5" and after.subjects[0].probability > 0.9
