"""What a total leaves no room for, what shares a cable, and what should flow by the sheets."""

from random import Random

import numpy as np
import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.weighing.sightings import Figure, LimitSighting
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_figures_that_fit import platform

BARE = 'platform "P" sleep 5min..10min limit 30mA\nbattery B 95Ah\nbox F\nground G1\nB.- -> G1\n'


def asked(its: Platform, *readings: str, out: tuple[str, ...] = ()) -> Diagnosis:
    words = TypedEvidence(readings=readings, unplugged=out, meter="series", resolution="1mA")
    return diagnose(circuit_of(its), evidence_typed(its, words))


def said(its: Platform, found: Diagnosis) -> str:
    return " ".join(suspects_text(its, found).split())


def chance_of(found: Diagnosis, part: str) -> float:
    return sum(one.probability for one in found.parts if one.part == part)


def a_lamp(watts: float) -> Platform:
    text = BARE + "fuse F.F1 15A\nfuse F.F2 15A\nswitch S positions off, on closes 1 to 2 in on\nconnector X9\n"
    text += f"lamp L supply 1 ground 2 running {watts}W\nB.+ -> F.F1 -> X9.1 -> S.1\nS.2 -> L.1\nL.2 -> G1\n"
    return platform(text + "motor M supply 1 ground 2\nB.+ -> F.F2 -> M.1\nM.2 -> G1\n")


@pytest.mark.parametrize("seed", range(4))
def test_what_is_more_than_all_that_flows_does_not_lead(seed: int) -> None:
    """A law over random lamps: one that takes twice what flows, or more, is hardly on, whatever else is known; one that
    takes what flows may be."""
    random = Random(seed)
    watts = random.choice([5, 10, 21, 55])
    its = a_lamp(watts)
    amps = watts / 12.0
    for share, least, most in ((1.0, 0.1, 1.0), (1.0 / random.uniform(2.0, 4.0), 0.0, 0.02)):
        flows = f"{share * amps:.3f}A"
        found = asked(its, f"B={flows}", "F.F1=draws", "F.F2=quiet")
        assert least <= chance_of(found, "S") <= most, (watts, share)
        looked_for = [test for test in found.tests.choices if "L" in test.action.parts]
        assert share == 1.0 or not looked_for[:1] or found.tests.choices[0] not in looked_for


def test_figures_of_two_faults_add_up_to_more_than_flows() -> None:
    a, b = Figure("a", 0.25, "exact"), Figure("b", 0.25, "exact")
    [table] = tables_of([LimitSighting("t", 0.3, {0: (a,), 1: (b,), 2: (Figure("c", 0.9, "state"),)})], 4)
    rows = table.columns
    alone = table.log_chance[rows, 0]
    assert list(alone[[0, 1, 3]]) == [0.0, 0.0, 0.0]
    assert alone[2] < -2.0
    assert table.log_chance[rows[0], rows[1]] < -1.0
    assert np.all(table.log_chance <= 0.0)


def test_a_zero_on_the_way_of_all_that_flows_is_no_place_to_look() -> None:
    """The drop across a fuse of unknown style may hide a part of the total, but not all of it."""
    its = a_lamp(10)
    before, after = asked(its, "B=0.500A"), asked(its, "B=0.500A", "F.F2=0.0mV")
    assert chance_of(after, "something on F.F2") < 0.1 * chance_of(before, "something on F.F2")
    small = asked(its, "B=0.100A", "F.F2=0.0mV")
    assert chance_of(small, "something on F.F2") > 0.3 * chance_of(asked(its, "B=0.100A"), "something on F.F2")


def test_a_plug_behind_a_fuse_leaves_its_wires_in() -> None:
    """With the plug parted the draw is gone: a chafed wire behind it explains that, as the lamp would, had it taken so
    little."""
    its = a_lamp(21)
    found = asked(its, "B=0.400A", "F.F1=draws", "F.F2=quiet", out=("X9=0.001A",))
    wires = chance_of(found, "wiring behind F.F1 beyond X9") + chance_of(found, "something on F.F1 beyond X9")
    assert wires > 0.5 > chance_of(found, "S")


CHAIN = """battery B 95Ah
box F
ground G1
fuse F.F1 15A
motor M supply 1 ground 2
alternator G3 supply B+ ground 31
starter M1 supply 30 control 50 ground 31
splice XD
B.- -> G1
B.+ -> XD
XD -> M1.30
G3.B+ -> M1.30
G3.31 -> G1
M1.31 -> G1
XD -> F.F1 -> M.1
M.2 -> G1
"""


def test_two_cables_in_a_row_are_one_current() -> None:
    its = platform('platform "P" sleep 5min..10min limit 30mA\n' + CHAIN)
    at_starter = asked(its, "B=0.300A", "F.F1=0.000A", "M1=0.300A")
    assert chance_of(at_starter, "G3") > chance_of(at_starter, "M1") > 0.1
    both = asked(its, "B=0.300A", "F.F1=0.000A", "M1=0.300A", "G3=0.300A")
    assert both.account is not None and both.account.left == pytest.approx(0.0, abs=0.01)
    assert not both.contradictions and "READ AGAIN" not in said(its, both)
    assert chance_of(both, "G3") > 0.8
    past = asked(its, "B=0.300A", "F.F1=0.000A", "M1=0.300A", "G3=0.000A")
    assert chance_of(past, "M1") > 0.7


NETWORK = (
    BARE
    + """fuse F.F1 10A
fuse F.F2 10A
fuse F.F3 10A
module A4 supply 1 ground 2 sense 5 awake 350mA asleep 3mA
module A3 supply 1 ground 2 awake 150mA asleep 2mA
module A2 supply 1 ground 2 awake 400mA asleep 2mA
switch S positions shut, open closes 1 to 2 in open
output A4.6 feeds from 1 while awake for 15min
lamp E supply 1 ground 2 running 24W
A4.6 -> E.1
E.2 -> G1
network C can members A4 (7, 8) drives, A3 (7, 8) listens, A2 (7, 8) listens
B.+ -> F.F1 -> A4.1
B.+ -> F.F2 -> A3.1
B.+ -> F.F3 -> A2.1
A4.2 -> G1
A3.2 -> G1
A2.2 -> G1
A4.5 -> S.1
S.2 -> G1
"""
)


def test_who_drives_a_network_is_awake_itself() -> None:
    its = platform(NETWORK)
    faults = prepared_for(circuit_of(its), {}, Evidence()).faults
    keeping = [fault for fault in faults if fault.kind == "keeps-awake" and fault.part == "A4"]
    assert keeping and all({"A4", "A3", "A2"} <= fault.owners for fault in keeping)


def test_an_output_with_a_time_limit_is_over() -> None:
    """The lamp went off after a quarter of an hour: what keeps its module awake is not acquitted for it."""
    its = platform(NETWORK)
    faults = prepared_for(circuit_of(its), {}, Evidence()).faults
    assert not any("E" in fault.owners for fault in faults if fault.wakes)


@pytest.mark.parametrize("more", [0.0, 0.08])
def test_more_than_a_fault_makes_does_not_acquit_it(more: float) -> None:
    its = platform(NETWORK)
    found = asked(its, f"B={0.9 + more:.3f}A")
    assert chance_of(found, "S") + chance_of(found, "A4") > 0.5
    assert "NOT S," not in said(its, found) and "NOT A4" not in said(its, found)


def test_what_should_flow_is_told_and_who_takes_what_is_too_many() -> None:
    its = platform(NETWORK)
    text = said(its, asked(its, "B=0.155A"))
    assert "7 mA are the sheets' own for all asleep; 148 mA too many." in text
    only_a3 = platform(NETWORK.replace("A4 (7, 8) drives, A3 (7, 8) listens, ", "A4 (7, 8) drives, "))
    found = asked(only_a3, "B=0.755A")
    assert [set(one) for one in found.should_flow[0].awake] == [{"A2", "A4"}]
    assert "That is what A2 and A4 would take, awake or running." in said(only_a3, found)
