"""What goes out by itself after some minutes is not expected of a vehicle that has stood for longer."""

from random import Random

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.candidates_waking import is_wake_wire
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.power.evaluate import evaluate, evaluate_beside
from circuitmap.power.for_a_time import in_steps, still_on
from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.power.state import VehicleState
from circuitmap.quantities import Band
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_figures_that_fit import platform

DOOR = """platform "P" sleep 5min..10min limit 30mA
battery B 95Ah
box F
ground G1
B.- -> G1
fuse F.F1 10A mini, F.F2 10A mini
module A "body" supply 1 ground 2 wake 3 by ground asleep 2mA awake 300mA
module C "cluster" supply 1 ground 2 asleep 2mA awake 200mA
output A.4 grounds while 3{lasts}
network NET can members A (5, 6), C (5, 6) listens
switch DOOR positions shut, open closes 1 to 2 in open
lamp L supply 1 ground 2 running 21W
splice SP
B.+ -> F.F1 -> A.1
B.+ -> F.F2 -> SP
SP -> C.1
SP -> L.1
L.2 -> A.4
A.2 -> G1
C.2 -> G1
DOOR.1 -> A.3
DOOR.2 -> G1
"""
LIT = 21.0 / 12.0


def of(lasts: str) -> Platform:
    return platform(DOOR.format(lasts=lasts))


def read_after(its: Platform, minutes: int, f2: float, *, steady: bool = False) -> Diagnosis:
    hours, rest = divmod(minutes, 60)
    more = "\n    steady: yes" if steady else ""
    text = f"""platform: P
entries:
  - at: "10:00"
    state: locked
  - at: "{10 + hours}:{rest:02}"{more}
    meter: low-current-clamp
    total: {0.300 + f2:.3f}A
    read: {{F1: 0.300A, F2: {f2:.3f}A}}
"""
    card, problems = read_card(SourceFile("card.yaml", text))
    assert not problems
    evidence, wrong = evidence_on(its, card)
    assert not wrong
    return diagnose(circuit_of(its), evidence)


def chance(found: Diagnosis, part: str) -> float:
    return next((its.probability for its in found.parts if its.part == part), 0.0)


def test_long_after_a_dark_lamp_acquits_nobody_and_soon_after_it_does() -> None:
    for_ever, for_a_time = of(""), of(" for 15min")
    assert chance(read_after(for_a_time, 40, 0.200), "DOOR") > 0.2
    assert chance(read_after(for_a_time, 40, 0.200), "DOOR") > 20 * chance(read_after(for_ever, 40, 0.200), "DOOR")
    assert chance(read_after(for_a_time, 12, 0.200), "DOOR") < 0.02
    assert chance(read_after(for_a_time, 12, 0.200 + LIT), "DOOR") > 0.5
    burns = read_after(for_a_time, 40, 0.200 + LIT)
    assert burns.two_faults > 0.8 > read_after(for_a_time, 12, 0.200 + LIT).two_faults, "it should be out by then"


def test_watched_until_it_stood_still_it_may_have_gone_out() -> None:
    its = of(" for 15min")
    assert chance(read_after(its, 12, 0.200, steady=True), "DOOR") > 0.2


@pytest.mark.parametrize("seed", range(20))
def test_what_lasts_is_on_before_its_end_and_off_after_it(seed: int) -> None:
    random = Random(seed)
    low = random.uniform(1.0, 20.0)
    lasts = Band(low, low + random.choice([0.0, 5.0]))
    stood = random.uniform(0.1, 40.0)
    level = still_on(lasts, stood)
    assert level == (YES if stood < lasts.low else NO if stood >= lasts.high else MAY_BE)
    assert level == still_on(lasts, in_steps(stood, [lasts, Band(2.0, 7.0)])), "no other vehicle a minute later"
    assert still_on(None, stood) == still_on(Band(float("inf"), float("inf")), stood) == YES


@pytest.mark.parametrize("minutes", [0.0, 12.0, 40.0])
def test_a_state_beside_another_is_the_state_evaluated_from_nothing(minutes: float) -> None:
    circuit = circuit_of(of(" for 15min"))
    base = evaluate(circuit, VehicleState(stood=minutes))
    opened = VehicleState(switches={"DOOR": "open"}, stood=minutes)
    both = evaluate_beside(base, opened).powered.loads, evaluate(circuit, opened).loads
    assert both[0] == both[1]
    assert bool(both[0]["L"].draws) == (minutes < 15.0)
    stuck = VehicleState(stuck=frozenset({"A.4"}), stood=minutes)
    assert evaluate(circuit, stuck).loads["L"].draws, "an output that is stuck goes on"


def test_plus_for_ever_on_a_pin_that_wakes_for_a_time_hardly_holds_its_module() -> None:
    def odds(lasts: str) -> float:
        its = platform(DOOR.format(lasts="").replace("wake 3 by ground", f"wake 3 by plus{lasts}"))
        return next(fault.odds for fault in prepared_for(circuit_of(its), {}, Evidence()).faults if is_wake_wire(fault))

    assert odds(" for 10min") < 0.2 * odds("")
