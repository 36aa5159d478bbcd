"""What comes with equipment and what comes without it never conduct together, also where nobody said which it is."""

from itertools import product

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import Powered, evaluate, evaluate_beside
from circuitmap.power.nets import NO
from circuitmap.power.state import VehicleState
from circuitmap.power.worlds import EVERY_BIT, MOST_WORLDS, worlds_of
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Need
from tests.power.random_platforms import random_circuit
from tests.power.vehicle import drawing, live, terminal, vehicle

TOWS = """
platform "Ollin Brae pickup" supply 12V return body sleep 5min..10min limit 50mA
option HOOK "towing pack"
battery BAT 70Ah
box CAB
fuse MAIN 80A
fuse CAB.F1 15A mini, CAB.F2 15A mini
fuse CAB.F6 20A mini "trailer socket, key" if not HOOK
fuse CAB.F6 empty if HOOK
fuse CAB.F7 20A mini "trailer socket, permanent" if HOOK
fuse CAB.F7 empty if not HOOK
bar CAB.B1 "permanent" feeds CAB.F7, CAB.K2.30
bar CAB.B2 "run" feeds CAB.F1, CAB.F2, CAB.F6, CAB.K2.87
relay CAB.K2 "run relay" make
key IGN positions off, run closes 30 to 15 in run
module HEATC "heater control" supply 1 ground 2 awake 310mA
module COOLC "refrigeration control" supply 1 ground 2 awake 160mA
socket TSOCK "trailer socket" supply 1 ground 2
BAT.+ -> MAIN -> CAB.B1
BAT.- -> case
MAIN.2 -> IGN.30
IGN.15 -> CAB.K2.86
CAB.K2.85 -> case
CAB.F1 -> HEATC.1
CAB.F2 -> COOLC.1
HEATC.2, COOLC.2 -> case
CAB.F6, CAB.F7 -> SP1
SP1 -> TSOCK.1
TSOCK.2 -> case
splice SP1
"""


@pytest.fixture(scope="module")
def pickup() -> Circuit:
    return vehicle(TOWS)


def levels(powered: Powered) -> list[Answer]:
    return [powered.supply[node] for node in powered.circuit.nodes]


def test_a_way_through_two_fuses_that_no_vehicle_has_at_once_feeds_nothing(pickup: Circuit) -> None:
    parked = live(pickup)
    assert drawing(parked) == {"TSOCK": "may be"}
    assert parked.supply[terminal("CAB.F1.1")] == parked.supply[terminal("CAB.F6.1")] == Answer.NO
    assert parked.supply[terminal("SP1")] == Answer.MAY_BE  # by F7, with the towing pack
    assert drawing(live(pickup, key="run")) == {"HEATC": "yes", "COOLC": "yes", "TSOCK": "may be"}


def test_what_is_derived_from_a_neighbour_is_the_same(pickup: Circuit) -> None:
    """Contacts that close, and open, with equipment left open: from nothing and from the parked vehicle."""
    parked = evaluate(pickup, VehicleState())
    for state in (VehicleState(key="run"), VehicleState(stuck=frozenset({"CAB.K2.87"}))):
        its = evaluate_beside(parked, state)
        assert its.touched is not None
        assert its.powered.settled.reach == evaluate(pickup, state).settled.reach
        back = evaluate_beside(its.powered, VehicleState())
        assert back.powered.settled.reach == parked.settled.reach


def test_a_load_that_comes_without_it_is_not_fed_by_what_comes_with_it() -> None:
    its = vehicle("""
platform "Ollin Brae pickup" supply 12V
option HOOK
battery BAT 70Ah
fuse F1 10A if HOOK
lamp WORK if not HOOK
relay K1 make if not HOOK
BAT.+ -> F1 -> WORK.1
F1 -> K1.86
K1.85, WORK.2, BAT.- -> case
""")
    parked = live(its)
    assert drawing(parked) == {} and parked.energised["K1"] == Answer.NO
    assert parked.supply[terminal("F1.2")] == Answer.MAY_BE


ONE_OF_TWO = """
platform "Ollin Brae pickup" supply 12V
option DIESEL or PETROL
battery BAT 70Ah
fuse F1 10A if DIESEL
fuse F2 10A if PETROL
lamp WORK
splice SP1
BAT.+ -> F1 -> SP1
SP1 -> F2 -> WORK -> case
BAT.- -> case
"""


def test_of_two_that_are_never_fitted_together_one_parts_the_other() -> None:
    assert drawing(live(vehicle(ONE_OF_TWO))) == {}
    apart = vehicle(ONE_OF_TWO.replace("DIESEL or PETROL", "DIESEL\noption PETROL"))
    assert drawing(live(apart)) == {"WORK": "may be"}


@pytest.mark.parametrize("seed", range(60))
def test_what_every_full_choice_leaves_dead_is_not_perhaps_live(seed: int) -> None:
    """Where no relay or module stands otherwise with the one than with the other: of those each may be on by another
    choice than what hangs behind it."""
    circuit = random_circuit(seed)
    open_one = evaluate(circuit, VehicleState(), requests=Answer.NO)
    options = tuple(circuit.platform.options)
    full = [
        evaluate(circuit, VehicleState(fitting=dict(zip(options, its, strict=True))), requests=Answer.NO)
        for its in product((True, False), repeat=len(options))
    ]
    if any(tuple(map(tuple, its.settled.standing)) != tuple(map(tuple, full[0].settled.standing)) for its in full):
        return
    most = [max(its) for its in zip(*map(levels, full), strict=True)]
    wrong = [
        (str(node), its, least)
        for node, its, least in zip(circuit.nodes, levels(open_one), most, strict=True)
        if its > least
    ]
    assert not wrong


def test_more_options_than_are_told_apart_leave_the_rest_as_perhaps(pickup: Circuit) -> None:
    names = [f"O{n}" for n in range(9)]
    conditions = [(Need(name, there),) for name in names for there in (True, False)]
    text = "\n".join(f"option {name}" for name in names)
    many = vehicle(TOWS.replace('option HOOK "towing pack"', f'option HOOK "towing pack"\n{text}')).platform
    its = worlds_of(many, [*conditions, *conditions[:2]], {}, 3)
    assert len(its.choices) == MOST_WORLDS and "O0" in its.choices[0]
    assert its.passing(conditions[0]) & its.passing(conditions[1]) == 0
    assert its.passing(conditions[-1]) & its.passing(conditions[-2]) != 0
    assert its.passing(()) == EVERY_BIT and NO == 0
