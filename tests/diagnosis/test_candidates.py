"""The candidates of each kind, and their odds."""

from functools import cache

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates import SOURCES, faults_of
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import FAULT_KINDS, FEEDS_KNOWN_DEAD, Kind
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

NOTATION = """
platform "Marlow Linnet" supply 12V return body
option TOW "towing socket"
naming SP* splice
battery BAT 72Ah
box CAB "Cab fuse box"
key IGN "Ignition switch" positions off, run closes 30 to 15 in run
switch DRFL "Driver's door" positions shut, open closes 1 to case in open
switch FLAP "Flap" positions shut, open closes 1 to 2 in open
relay CAB.K9 "Heated screen relay" make
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3, CAB.F4, CAB.F6, CAB.K9.30
fuse CAB.F6 10A mini if TOW
fuse CAB.F7 10A mini if not TOW
heater BOX running 3A
switch BOXSW positions off, on closes 1 to 2 in on
fuse CAB.F1 20A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini, CAB.F5 20A maxi
module BCM "Body computer" supply A1, A2 ground A8 sense B4
module HEATER supply 1 ground 2
module RUNMOD supply 1 ground 2
module TOWMOD supply 1 ground 2 if TOW
heater SCREEN running 8A
lamp DOME running 800mA
alternator ALT supply B+
output BCM.C3 grounds "screen"
network BODY can members BCM, HEATER, RUNMOD, TOWMOD
sheet "1"
BAT.+ -> CAB.B1
BAT.- -> G1
ground G1
BAT.+ -> ALT.B+
CAB.F1 -> SP1 -> BCM.A1
SP1 -> ?
CAB.F2 -> BCM.A2
BCM.A8 -> G1
CAB.F3 -> HEATER.1
HEATER.2 -> G1
BCM.B4 -> FLAP.1
FLAP.2 -> G1
CAB.F3 -> TOWMOD.1 if TOW
TOWMOD.2 -> G1 if TOW
CAB.F2 -> IGN.30
IGN.15 -> RUNMOD.1
RUNMOD.2 -> G1
IGN.15 -> CAB.F7
CAB.F6, CAB.F7 -> SP6
SP6 -> BOXSW.1
BOXSW.2 -> BOX -> G1
CAB.F4 -> DOME -> DRFL.1
CAB.F1 -> CAB.K9.86
CAB.K9.85 -> BCM.C3
CAB.K9.87 -> CAB.F5 -> SCREEN -> G1
"""


@cache
def parked() -> Parked:
    source = SourceFile("a.circuit", NOTATION)
    notation, problems = read_text(source)
    assert problems == ()
    return Parked(circuit_of(platform_of([notation], [source])), {})


@cache
def faults() -> tuple[Fault, ...]:
    return faults_of(parked())


def of(kind: str, part: str) -> Fault:
    return next(fault for fault in faults() if fault.kind == kind and fault.part == part)


def test_shares_sum_to_about_fifteen_in_a_hundred() -> None:
    assert sum(kind.share for kind in FAULT_KINDS.values()) == pytest.approx(0.15)


@pytest.mark.parametrize("kind", [kind for kind in FAULT_KINDS if kind != "none-of-these"])
def test_each_kind_has_its_share_and_no_more(kind: Kind) -> None:
    """Split among its candidates; less where options are not said or feeds known to be dead, or fewer are typed in
    than is usual."""
    odds = sum(fault.odds for fault in faults() if fault.kind == kind)
    found = sum(c.weight for source in SOURCES for c in source.candidates(parked()) if c.fault.kind == kind)
    share = FAULT_KINDS[kind].share * min(found / FAULT_KINDS[kind].usual, 1.0)
    assert 0.4 * share < odds <= share + 1e-12


def test_each_kind_is_found_by_what_says_so() -> None:
    """And by nothing else; only the readings speak of "none of these"."""
    assert set(FAULT_KINDS) - {kind for source in SOURCES for kind in source.kinds} == {"none-of-these"}
    for source in SOURCES:
        kinds = {candidate.fault.kind for candidate in source.candidates(parked())}
        assert kinds <= set(source.kinds)


def test_an_option_that_is_not_said_halves_the_odds() -> None:
    assert of("keeps-awake", "TOWMOD").odds == pytest.approx(of("keeps-awake", "HEATER").odds / 2)


def test_a_member_whose_feeds_are_dead_when_parked_hardly_keeps_anybody_awake() -> None:
    assert of("keeps-awake", "RUNMOD").odds == pytest.approx(FEEDS_KNOWN_DEAD * of("keeps-awake", "HEATER").odds)


def test_keeping_a_network_awake_wakes_all_its_fed_members() -> None:
    awake = {flow.owner for flow in of("keeps-awake", "HEATER").brings if flow.key.taken == "awake"}
    assert {"BCM", "HEATER"} <= awake and "RUNMOD" not in awake


def test_an_input_is_a_candidate_of_its_own() -> None:
    fault = of("wrong-input", "FLAP")
    assert (fault.module, fault.network) == ("BCM", "BODY")


def test_a_stuck_output_holds_the_relay_and_feeds_the_screen() -> None:
    fault = next(f for f in faults() if f.contact == "BCM.C3")
    assert {flow.owner for flow in fault.brings} == {"SCREEN", "CAB.K9"}
    assert fault.about == "CAB.K9"
    through = next(flow.way.through for flow in fault.brings if flow.owner == "SCREEN")
    assert {"CAB.F5", "CAB.K9", "CAB.F1", "BCM"} <= through


def test_the_same_by_a_chafed_control_wire_does_not_hang_on_the_module() -> None:
    fault = of("coil", "control wire of CAB.K9")
    assert {flow.owner for flow in fault.brings} == {"SCREEN", "CAB.K9"}
    assert not any("BCM" in flow.way.through for flow in fault.brings)


def test_a_door_switch_that_lights_a_lamp_is_a_lamp_and_its_switch() -> None:
    assert of("lamp", "DRFL").others == ("DOME",)


def test_a_chafed_ground_side_switches_its_load_on() -> None:
    assert {flow.owner for flow in of("chafed", "ground-side wire of DOME").brings} == {"DOME"}


def test_what_goes_on_undrawn_may_draw() -> None:
    fault = next(f for f in faults() if f.kind == "added" and f.part.startswith("?"))
    assert fault.brings[0].way.places[0] == "CAB.F1"


def test_a_dead_fuse_has_nothing_added_on_it() -> None:
    assert not any(fault.part == "something on CAB.F5" for fault in faults())


def test_the_alternator_passes_no_fuse() -> None:
    assert of("unfused", "ALT").brings[0].way.places == ("ALT", "BAT")


def test_two_supplies_share_a_modules_current() -> None:
    fault = of("by-itself", "BCM")
    assert [flow.way.places[0] for flow in fault.brings] == ["CAB.F1", "CAB.F2"]
    assert {flow.pins for flow in fault.brings} == {2}
