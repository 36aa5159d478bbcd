"""A relay that holds itself over another one's contact, which sticks: nothing draws until it is used, and whatever parts
the hold for a moment ends it."""

from dataclasses import replace

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates import faults_of
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Without
from circuitmap.notation.reading import read_text
from circuitmap.power.evaluate import evaluate, evaluate_beside
from circuitmap.power.state import VehicleState
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_left_so import answer

LAUNCH = """\
platform "Tollan river launch" sleep 5min..10min limit 40mA
battery BAT 80Ah
box DECK
fuse DECK.F1 15A mini, DECK.F2 10A mini, DECK.F3 10A mini, DECK.F9 10A mini
bar DECK.B1 feeds DECK.F1, DECK.F2, DECK.F3
relay DECK.KH "screen heating, holds itself" make running 150mA
relay DECK.KR "hold of the screen heating, off with the key" make running 150mA
heater SCREEN "screen heating" running 48W
module HELM "helm" supply 1 ground 2 asleep 5mA awake 300mA
key IGN positions off, run closes 30 to 15 in run
switch BTN "screen heating button" positions out, pressed closes 1 to 2 in pressed
splice SPA, SPB
BAT.+ -> DECK.B1
BAT.- -> case
DECK.F2 -> IGN.30
IGN.15 -> DECK.F9
DECK.F9 -> DECK.KR.86, BTN.1
DECK.F1 -> DECK.KH.30
DECK.KH.87 -> SPA -> SCREEN.1
SPA -> DECK.KR.30
DECK.KR.87 -> SPB
BTN.2 -> SPB
SPB -> DECK.KH.86
DECK.F3 -> HELM.1
SCREEN.2, HELM.2, DECK.KH.85, DECK.KR.85 -> case
"""
LOCKED = 'at: "08:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
READ = 'at: "08:40", read: {BAT: 4.16A, DECK.F1: 4.15A, DECK.F2: 0.00A, DECK.F3: 0.01A}, steady: yes'
HELD = 'at: "08:50", relays: {DECK.KH: held}, volts: {DECK.F9: 0.0V}'
STUCK = 'at: "08:55", relays: {DECK.KR: stuck}'


@pytest.fixture(scope="module")
def launch() -> Platform:
    return platform_of([read_text(SourceFile("launch.circuit", LAUNCH))[0]])


@pytest.fixture(scope="module")
def parked(launch: Platform) -> Parked:
    return Parked(circuit_of(launch), {})


def the_fault(parked: Parked) -> Fault:
    (found,) = (one for one in faults_of(parked) if one.contact == "DECK.KR.87" and not one.dead)
    return found


def test_relays_that_were_in_stay_only_where_they_hold_themselves(launch: Platform) -> None:
    sound = VehicleState(was_in=frozenset({"DECK.KH"}))
    stuck = replace(sound, stuck=frozenset({"DECK.KR.87"}))
    circuit = circuit_of(launch)
    base = evaluate(circuit, VehicleState())
    for state, holds in ((sound, False), (stuck, True), (replace(stuck, was_in=frozenset()), False)):
        for powered in (evaluate(circuit, state), evaluate_beside(base, state).powered):
            assert bool(powered.loads["SCREEN"].draws) == holds


def test_the_stuck_contact_is_a_candidate_with_all_that_then_draws(parked: Parked) -> None:
    fault = the_fault(parked)
    assert fault.part == "DECK.KR" and fault.holds == ("DECK.KH",)
    assert fault.owners == {"DECK.KH", "SCREEN"}
    assert sum(flow.mean for flow in fault.brings) == pytest.approx(4.15, rel=0.1)


@pytest.mark.parametrize("out", ["DECK.KH", "DECK.KR", "DECK.F1"])
def test_whatever_parts_the_hold_ends_it(parked: Parked, out: str) -> None:
    assert not Without(parked, (out,)).left_of(the_fault(parked))


def test_the_button_out_changes_nothing(parked: Parked) -> None:
    fault = the_fault(parked)
    left = Without(parked, ("BTN",)).left_of(fault)
    assert {flow.key for flow in left} == {flow.key for flow in fault.brings}


def test_volts_at_both_relays_lead_to_the_one_that_sticks(launch: Platform) -> None:
    held = answer(launch, LOCKED, READ, HELD)
    assert {part.part: part.probability for part in held.parts}["DECK.KR"] > 0.4
    stuck = answer(launch, LOCKED, READ, HELD, STUCK)
    assert stuck.parts[0].part == "DECK.KR" and stuck.parts[0].probability > 0.9


def test_what_may_hold_itself_is_measured_before_it_is_pulled(launch: Platform) -> None:
    choices = answer(launch, LOCKED, READ).tests.choices
    doings = [one.action.doing for one in choices]
    assert "relay-volts" in doings
    pulled = [n for n, one in enumerate(choices) if one.action.takes_out and one.action.parts != ("BTN",)]
    assert all(n > max(k for k, doing in enumerate(doings) if doing == "relay-volts") for n in pulled)


def test_pulling_it_is_told_to_let_it_go(launch: Platform) -> None:
    its = answer(launch, LOCKED, READ, HELD, STUCK)
    told = {one["code"] for one in suspects_json(launch, its, 3)["mend_cautions"]}
    assert "lets-go" in told
    text = " ".join(suspects_text(launch, its).split())
    assert "out and in prove nothing here, because DECK.KH holds itself" in text
    assert "tested DECK.KR bad" in text


def test_a_contact_that_brings_all_by_itself_warns_of_nothing(launch: Platform) -> None:
    its = answer(launch, LOCKED, READ, 'at: "08:50", relays: {DECK.KH: stuck}')
    assert its.parts[0].part == "DECK.KH"
    assert "lets-go" not in {one["code"] for one in suspects_json(launch, its, 3)["mend_cautions"]}


def test_that_it_stays_away_speaks_for_what_holds_itself(launch: Platform) -> None:
    out, gone = 'at: "09:00", out: [DECK.KH]', 'at: "09:10", read: {BAT: 0.01A}, steady: yes'
    back, stayed = 'at: "09:12", back: [DECK.KH]', 'at: "09:30", read: {BAT: 0.01A}, steady: yes'
    again = 'at: "09:30", read: {BAT: 4.16A}, steady: yes'
    chance = {
        last: {part.part: part.probability for part in answer(launch, LOCKED, READ, HELD, out, gone, back, last).parts}
        for last in (stayed, again)
    }
    assert chance[stayed]["DECK.KR"] > 0.8 > chance[again].get("DECK.KR", 0.0)
    text = " ".join(suspects_text(launch, answer(launch, LOCKED, READ, HELD, out, gone, back, stayed)).split())
    assert "so that DECK.KH pulls in once" in text and "what holds itself lets go so" in text
