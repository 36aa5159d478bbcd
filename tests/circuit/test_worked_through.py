"""What stops with a fuse that does not feed it. Source: by hand from the text below; on the sample vehicles, what is dead
once the fuse is pulled, by the evaluation of the circuit, which knows nothing of these ways.
"""

from functools import cache
from pathlib import Path

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.trace import Trace, trace, trace_in
from circuitmap.circuit.worked_through import WorkedThrough, worked_through
from circuitmap.flows.questions import open_bench
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.power.survey import Changes
from circuitmap.reports.circuit.trace_head import head_lines
from circuitmap.wiring.fitting import Answer
from tests.power.vehicle import vehicle
from tests.work_done import steps_of

ROOT = Path(__file__).parent.parent.parent
TEXT = """
platform "Sweeper"
battery A
key IGN positions off, run, start closes 30 to 15 in run, start closes 30 to 50 in start
fuse F1 10A, F2 10A, F3 30A, F4 30A, F5 10A, F6 10A, F7 10A
switch BRUSHSW positions off, on closes 1 to 2 in on
switch TANKSW positions off, on closes 1 to 2 in on
relay KB "brush" make
relay KD "day and night" changeover
relay KP "pump" make
motor BRUSH
motor PUMP
lamp DAY
lamp NIGHT
lamp TAIL supply 58, 54 ground 31
starter START supply 30 control 50 ground 31
module U supply 1 ground 2 sense 3
output U.4 feeds from 1 while 3
lamp SIGN
module V supply 1 ground 2 wake 3
output V.4 grounds while awake
relay KV make
horn HOOT
A.-, KB.85, KD.85, KP.85, DAY.2, NIGHT.2, TAIL.31, START.31, U.2, V.2, BRUSH.2, PUMP.2, SIGN.2, HOOT.2 -> case
A.+ -> F1 -> IGN.30
A.+ -> START.30
IGN.50 -> START.50
A.+ -> F2 -> BRUSHSW.1, TANKSW.1
BRUSHSW.2 -> KB.86
TANKSW.2 -> KP.86
A.+ -> F3 -> KB.30, KP.30
KB.87 -> BRUSH.1
KP.87 -> PUMP.1
A.+ -> F4 -> KD.30, KV.30
KD.87 -> DAY.1
KD.87a -> NIGHT.1
KD.87 -> TAIL.58
F5 -> TAIL.54
A.+ -> F5 -> U.1
IGN.15 -> U.3, V.3
IGN.15 -> F6 -> KD.86
U.4 -> SIGN.1
A.+ -> F7 -> V.1, KV.86
KV.85 -> V.4
KV.87 -> HOOT.1

"""


def through(fuse: str, text: str = TEXT) -> WorkedThrough:
    return trace(vehicle(text), fuse).through_coils


def test_all_that_a_coils_contacts_feed_stops_with_the_coils_fuse() -> None:
    its = through("F7")
    assert its.stops == {"KV": ("HOOT",)} and not its.other_way and not its.fewer


def test_what_is_fed_while_its_relay_rests_comes_on() -> None:
    its = through("F6")
    assert its.stops == {"KD": ("DAY", "TAIL.58")}, "TAIL has another pin on F5"
    assert its.other_way == {"KD": ("NIGHT",)}


def test_a_coil_that_two_fuses_feed_has_one_way_less() -> None:
    text = TEXT.replace("TANKSW.2 -> KP.86", "diode D1, D2\nTANKSW.2 -> D1 -> KP.86\nF5 -> D2 -> KP.86")
    assert through("F2", text).fewer == {"KP": ("PUMP",)}
    assert through("F2", text).stops == {"KB": ("BRUSH",)}


def test_inputs_and_control_pins_are_followed_as_coils_are() -> None:
    its = through("F1")
    assert its.stops["START.50"] == ("START",) and its.stops["U"] == ("SIGN",), "U.4 waits for U.3, V.4 for V.3"
    assert its.stops["KV"] == ("HOOT",) and its.stops["KD"] == ("DAY", "TAIL.58")
    assert not its.off
    alone = through("F1", TEXT.replace("U.4 -> SIGN.1", "F3 -> SIGN.1"))
    assert alone.off == ("U.4",), "nothing hangs on it, and it is off"


def test_what_wakes_by_a_network_too_is_not_surely_lost() -> None:
    its = through("F1", TEXT + "network BUS can members U, V\n")
    assert "KV" not in its.stops and its.fewer["KV"] == ("HOOT",)


def test_a_switch_or_bar_has_none_of_it_and_what_it_feeds_is_not_told_twice() -> None:
    assert trace(vehicle(TEXT), "BRUSHSW").through_coils.is_empty
    fed: Trace = trace(vehicle(TEXT), "F3")
    assert fed.loads == ("BRUSH", "PUMP") and fed.through_coils.is_empty


def test_the_headline_keeps_both_apart() -> None:
    circuit = vehicle(TEXT)
    told = " ".join(head_lines(circuit.platform, trace(circuit, "F2"), {}, 99, False)).replace("\n", " ")
    assert "It feeds no load. Not fed by it, and stops with it: BRUSH by KB; " in told
    told = " ".join(head_lines(circuit.platform, trace(circuit, "F6"), {}, 99, False))
    assert "Comes on, or is switched over, without it: NIGHT by KD." in told


def state_of(changes: Changes, fuse: str = "") -> VehicleState:
    key = next((its.position for its in changes if its.kind == "key"), "")
    switches = {its.name: its.position for its in changes if its.kind == "switch"}
    awake = frozenset(its.name for its in changes if its.kind in ("network", "module"))
    stuck = frozenset(its.name for its in changes if its.kind == "output")
    pulled = frozenset({fuse} if fuse else ())
    return VehicleState(key=key, switches=switches, awake=awake, stuck=stuck, pulled=pulled)


@cache
def told_and_dead(folder: str) -> tuple[int, list[str], list[str]]:
    """How often what a fuse is said to stop was dead with it pulled; where it was not; and what was dead that no trace
    of the fuse tells of. Each load in two of the conditions in which it surely draws."""
    circuit = open_bench(ROOT / folder, (), ()).circuit
    feeding = feeding_of(circuit, {})
    states: dict[Changes, list[str]] = {}
    for name, its in classes_of(circuit, {}).items():
        for changes in its.drawn_in[:2]:
            states.setdefault(changes, []).append(name)
    sound = {changes: evaluate(circuit, state_of(changes)) for changes in states}
    met, wrong, missed = 0, [], []
    for fuse in circuit.platform.fuses:
        its = trace_in(feeding, fuse.name)
        through = its.through_coils
        stops = {name for names in through.stops.values() for name in names}
        told = {name.rpartition(".")[0] or name for name in stops} | stops
        told |= {name for by in (through.fewer, through.other_way) for names in by.values() for name in names}
        told |= {there.part for there in (*its.downstream, *its.backwards)}
        for changes, names in states.items():
            out = evaluate(circuit, state_of(changes, fuse.name)).loads
            for name in (n for n in names if sound[changes].loads[n].draws == Answer.YES):
                dead = out[name].draws == Answer.NO
                where = f"{fuse.name}: {name} in {changes}"
                met += dead and name in stops
                wrong += [where] if name in stops and not dead else []
                missed += [where] if dead and name not in told else []
    return met, wrong, missed


@pytest.mark.parametrize(("folder", "least"), [("sample_vehicles/van", 10), ("sample_vehicles/motorhome", 2)])
def test_what_is_told_is_dead_with_the_fuse_pulled(folder: str, least: int) -> None:
    met, wrong, missed = told_and_dead(folder)
    assert met >= least and not wrong and not missed


def test_a_fuse_with_no_coil_behind_it_costs_next_to_nothing() -> None:
    circuit = vehicle(TEXT)
    feeding = feeding_of(circuit)
    trace_in(feeding, "F3")
    assert steps_of(lambda: worked_through(feeding, "F3", ("BRUSH", "PUMP"))) < 3 * len(circuit.links)
