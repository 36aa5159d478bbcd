"""What the sheets print weighs: figures that are met, loads that are dead, modules at work, times, listeners, sockets."""

from random import Random

import numpy as np
import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.candidates_waking import is_wake_wire
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.weighing.sightings import Figure, FigureSighting
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.written_names import written_volts
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.fault_kind_words import fault_words
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_figures_that_fit import ALONE, HEATER, SOCKETS, STOP, platform

BARE = 'platform "P" sleep 5min..10min limit 30mA\nbattery B 95Ah\nbox F\nground G1\nB.- -> G1\n'


def asked(its: Platform, *readings: str, volts: tuple[str, str] | None = None) -> Diagnosis:
    evidence = evidence_typed(its, TypedEvidence(readings=readings, meter="low-current-clamp", resolution="1mA"))
    if volts is not None:
        evidence = evidence.and_also(Evidence(volts=(written_volts(its, *volts),)))
    return diagnose(circuit_of(its), evidence)


def said(its: Platform, found: Diagnosis) -> str:
    return " ".join(suspects_text(its, found).split())


def three_lamps(watts: list[int]) -> Platform:
    text = BARE + "fuse F.F1 15A mini\nswitch S positions off, on closes 1 to 2 in on\nsplice SP\n"
    text += "B.+ -> F.F1 -> S.1\nS.2 -> SP\n"
    for n, watt in enumerate(watts):
        text += f"lamp L{n} supply 1 ground 2 running {watt}W\nSP -> L{n}.1\nL{n}.2 -> G1\n"
    return platform(text)


@pytest.mark.parametrize("seed", range(6))
def test_the_lamp_that_the_figures_leave_out_is_told(seed: int) -> None:
    """A law over random lamps on one contact: of all that may be wrong with their switch, the likeliest is what leaves
    out the dead one, where it is a third of the whole or more."""
    random = Random(seed)
    watts = random.sample([10, 16, 21, 35, 55], 3)
    dead = next(n for n in random.sample(range(3), 3) if watts[n] >= sum(watts) / 3.0)
    left = (sum(watts) - watts[dead]) / 12.0
    its = three_lamps(watts)
    found = asked(its, f"F1={left:.3f}A", f"B={left:.3f}A")
    switch = next(part for part in found.parts if part.part == "S")
    assert switch.faults[0].dead == (f"L{dead}",), (watts, dead)
    assert "takes nothing: it, its wire or its ground is open" in fault_words(its, switch.faults[0])


@pytest.mark.parametrize("seed", range(4))
def test_with_all_lamps_burning_none_is_called_dead(seed: int) -> None:
    watts = Random(seed).sample([5, 10, 16, 21, 35, 55], 3)
    its = three_lamps(watts)
    found = asked(its, f"F1={sum(watts) / 12.0:.3f}A", f"B={sum(watts) / 12.0:.3f}A")
    assert found.subjects[0].about == "S" and found.parts[0].faults[0].dead == ()


def test_figures_of_two_faults_add_up() -> None:
    """0.4 and 0.6 A are each missed at 1.0 A and met together; beside a current of which nothing is printed, or under
    no fault at all, the reading weighs as it did."""
    figures = {
        0: (Figure("L0", 0.4, "exact"),),
        1: (Figure("L1", 0.6, "exact"),),
        2: (Figure("A", 1.02, "state"),),
        3: (Figure("added", 0.9, "unknown"),),
    }
    sighting = FigureSighting("F1", 1.0, 0.06, 0.0, figures, (4.0, 0.44, 3.0, 0.72, 1.2))
    [table] = tables_of((sighting,), 4)

    def factor(*faults: int) -> float:
        one, other = (table.columns[faults[0]], table.columns[faults[1]] if len(faults) > 1 else 0)
        return round(float(np.exp(table.log_chance[one, other])), 6)

    assert (factor(0), factor(1), factor(0, 1)) == (0.44, 0.44, 4.0)
    assert (factor(2), factor(2, 0), factor(3), factor(0, 3)) == (3.0, 0.72, 1.0, 1.0)
    assert float(table.log_chance[0, 0]) == 0.0


def test_a_range_is_met_wherever_in_it_the_reading_lies() -> None:
    figures = {
        0: (Figure("L0", 1.0, "exact"),),
        1: (Figure("FAN", 0.8, "exact", 0.2, 0.3),),
        2: (Figure("FAN", 0.8, "exact", 0.2, 0.3), Figure("L2", 0.2, "exact")),
        3: (Figure("PUMP", 0.5, "exact", 0.1, 0.1),),
    }
    sighting = FigureSighting("F1", 1.0, 0.06, 0.0, figures, (4.0, 0.44, 3.0, 0.72, 1.2))
    [table] = tables_of((sighting,), 4)
    alone = [round(float(np.exp(table.log_chance[table.columns[n], 0])), 6) for n in range(4)]
    assert alone == [4.0, 1.2, 1.2, 0.44]


RIVALS = (
    BARE
    + """fuse F.F1 20A mini
splice SP
B.+ -> F.F1 -> SP
motor FAN "fan" supply 1 ground 2 running 3A..4.4A
motor VENT "second fan" supply 1 ground 2 running {vent}
switch SF positions off, on closes 1 to 2 in on
switch SV positions off, on closes 1 to 2 in on
SP -> SF.1
SF.2 -> FAN.1
FAN.2 -> G1
SP -> SV.1
SV.2 -> VENT.1
VENT.2 -> G1
"""
)


@pytest.mark.parametrize("amps", [3.0, 3.6, 4.3])
def test_a_figure_that_happens_to_be_met_hardly_wins_over_a_range_that_holds_the_reading(amps: float) -> None:
    """Two fans on switches of their own: one has a range, of the other a single figure, which is just what was read."""
    its = platform(RIVALS.format(vent=f"{amps}A"))
    found = asked(its, f"F1={amps}A", f"B={amps}A")
    chance = {part.part: part.probability for part in found.parts}
    assert 0.5 < chance["SF"] / chance["SV"] < 2.0


def test_a_figure_that_is_missed_still_loses_to_a_range_that_holds_the_reading() -> None:
    its = platform(RIVALS.format(vent="2.4A"))
    found = asked(its, "F1=4.3A", "B=4.3A")
    chance = {part.part: part.probability for part in found.parts}
    assert chance["SF"] > 3.0 * chance["SV"]


def test_a_held_relay_fits_as_well_as_a_stuck_one_where_nobody_typed_its_coil() -> None:
    """The blower's own 6 A are met to three per cent either way: what its coil takes besides is small, and usual."""
    its = platform(HEATER.replace(" make running 150mA", " make"))
    found = asked(its, "FC3=6.10A", "FC1=2mA", "G2=6.10A")
    assert "just what the sheets' figures come to" not in said(its, found).partition("RATHER THAN")[2]


def test_what_is_met_at_one_fuse_moves_nothing_where_no_figure_is_printed() -> None:
    its = platform(STOP.replace(" running 21W", "").replace(" running 16W", ""))
    found = asked(its, "FB6=3.40A")
    assert not any(fault.dead for fault in found.faults)
    assert "sheets' figures" not in said(its, found)


TIMED = (
    BARE
    + """fuse F.F1 10A mini, F.F2 10A mini
module A "body" supply 1 ground 2 wake 3 by ground for 10min wake 4 by ground for ever asleep 2mA awake 300mA
module C "cluster" supply 1 ground 2 sense 3 asleep 2mA awake 200mA
network NET can members A (5, 6), C (5, 6) listens
switch DOOR positions shut, open closes 1 to 2 in open
switch KEYIN positions out, in closes 1 to 2 in in
switch PARK positions off, on closes 1 to 2 in on
B.+ -> F.F1 -> A.1
B.+ -> F.F2 -> C.1
A.2 -> G1
C.2 -> G1
DOOR.1 -> A.3
KEYIN.1 -> A.4
PARK.1 -> C.3
DOOR.2 -> G1
KEYIN.2 -> G1
PARK.2 -> G1
"""
)


def test_an_input_that_wakes_for_a_time_and_one_that_is_only_listened_to_hold_nothing() -> None:
    its = platform(TIMED)
    found = asked(its, "F1=0.30A", "F2=0.20A", "B=0.50A")
    chance = {part.part: part.probability for part in found.parts}
    assert chance["DOOR"] < 0.2 * chance["KEYIN"] and chance["PARK"] < 0.05 * chance["KEYIN"]
    text = said(its, found)
    assert "KEYIN, or its wire" in text and "hardly DOOR: by the sheet that wakes for 10 min at most" in text


def test_plus_on_a_wake_wire_wakes_its_module_alone() -> None:
    its = platform(ALONE.replace("wake 7 by ground", "wake 7 by plus"))
    circuit = circuit_of(its)
    wires = [fault for fault in prepared_for(circuit, {}, Evidence()).faults if is_wake_wire(fault)]
    assert [(fault.part, fault.owners) for fault in wires] == [("wake wire of A6.7", frozenset({"A6"}))]
    assert not wires[0].wakes, "it only listens on the network"


WORKS = (
    BARE
    + """fuse F.F1 20A mini, F.F2 10A mini
module H "heater" supply 1 ground 2 wake 3 by plus asleep 2mA running 1.5A..8A
module A "body" supply 1 ground 2 asleep 2mA awake 300mA
network LIN lin members H (4), A (4)
switch HSW positions off, on closes 1 to 2 in on
splice SP
B.+ -> F.F1 -> SP
SP -> H.1
SP -> HSW.1
HSW.2 -> H.3
H.2 -> G1
B.+ -> F.F2 -> A.1
A.2 -> G1
"""
)


def test_a_module_that_takes_what_it_takes_at_work_leads() -> None:
    its = platform(WORKS)
    at_work, awake = (asked(its, f"F1={amps}A", "F2=0.30A") for amps in (2.5, 0.15))
    chance_of_a = [{p.part: p.probability for p in found.parts}["A"] for found in (at_work, awake)]
    assert chance_of_a[0] < 0.5 * chance_of_a[1]
    leading = next(part for part in at_work.parts if part.part in ("H", "HSW"))
    assert leading.faults[0].works and "H is at work, by what it takes" in fault_words(its, leading.faults[0])


def test_what_is_plugged_in_comes_first_of_what_hangs_on_a_socket_fuse() -> None:
    its = platform(SOCKETS)
    found = asked(its, "FC7=0.50A", "G2=0.50A")
    assert found.subjects[0].about == "FC.FC7" and found.subjects[0].parts[0].part in ("X30", "X32")


def test_a_coil_without_volts_is_not_driven() -> None:
    """Of a relay that feeds its load, volts at the end of its coil that its driver grounds: on plus nothing drives it."""
    its = platform(HEATER)
    read = ("FC3=6.15A", "FC1=2mA", "G2=6.15A")
    control = "control wire of K7"
    before, plus, ground = (
        {part.part: part.probability for part in asked(its, *read, volts=volts).parts}[control]
        for volts in (None, ("K7.85", "12.4V"), ("K7.85", "0.1V"))
    )
    assert plus < 0.5 * before and ground >= before


def test_a_zero_that_contradicts_all_that_is_left_is_read_again() -> None:
    its = platform(ALONE)
    found = asked(its, "F1=0.37A", "F2=0.18A", "F3=0.00A", "B=1.03A")
    again = [test.action.parts for test in found.tests.choices if test.action.doing == "read-again"]
    assert ("F.F3",) in again
