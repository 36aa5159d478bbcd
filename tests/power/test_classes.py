"""Constant, switched, message-only, unknown: derived, with what turns each load off."""

import pytest

from circuitmap.power.classes import LoadClass, classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import PARKED
from circuitmap.wiring.fitting import Answer
from tests.power.random_platforms import random_circuit
from tests.power.vehicle import vehicle

CIRCUIT = vehicle("""
naming SP* splice, X* connector, G* ground
option TOW
battery BAT 60Ah
key IGN positions off, run closes 30 to 15 in run
switch DOOR positions shut, open closes 1 to case in open
switch MASTER positions on, off closes 1 to 2 in on
relay K make
fuse F1 10A, F2 10A, F3 10A
module CLOCK supply 1 ground 2
module BCM supply 1, 5 ground 2 wake 3
module ECM supply 1 ground 2
module TOWMOD supply 1 ground 2 if TOW
module CHART
network BODY can members BCM, TOWMOD, CHART
output BCM.7 feeds
output BCM.8 grounds while awake
lamp DOME
lamp WORK
lamp PUDDLE
lamp ODD
lamp DIM
motor FAN
heater SEAT
load SIREN
BAT.- -> G1
BAT.+ -> MASTER.1
MASTER.2 -> F1
BAT.+ -> F3 -> IGN.30
IGN.15 -> F2
F1 -> CLOCK.1
CLOCK.2 -> G1
F1 -> BCM.1
F2 -> BCM.5
F2 -> BCM.3
BCM.2 -> G1
F2 -> ECM.1
ECM.2 -> G1
F1 -> TOWMOD.1
TOWMOD.2 -> G1
F3 feeds CHART, SEAT
F1 -> DOME -> DOOR.1
IGN.15 -> K.86
K.85 -> BCM.8
F1 -> K.30
K.87 -> FAN -> G1
BCM.7 -> PUDDLE -> G1
? -> ODD -> G1
F1 -> SIREN -> G1
F2 -> WORK -> G1
WORK.1 -> DIM -> ? "goes on"
""")


@pytest.fixture(scope="module")
def classes() -> dict[str, LoadClass]:
    return dict(classes_of(CIRCUIT, {}))


@pytest.mark.parametrize(
    ("name", "kind", "turned_off_by"),
    [
        ("CLOCK", "constant", ("MASTER.2",)),
        ("SIREN", "constant", ("MASTER.2",)),
        ("BCM", "message-only", ("BODY", "BCM.3")),
        ("CHART", "message-only", ("BODY",)),
        ("TOWMOD", "message-only", ("BODY",)),
        ("ECM", "switched", ("IGN.15",)),
        ("WORK", "switched", ("IGN.15",)),
        ("DIM", "switched", ("IGN.15",)),
        ("DOME", "switched", ("DOOR.1",)),
        ("FAN", "switched", ("K.87",)),
        ("PUDDLE", "switched", ("BCM.7",)),
        ("ODD", "unknown", ()),
        ("SEAT", "unknown", ()),
    ],
)
def test_classes(classes: dict[str, LoadClass], name: str, kind: str, turned_off_by: tuple[str, ...]) -> None:
    assert (classes[name].its, classes[name].turned_off_by) == (kind, turned_off_by)


def test_a_door_lamp_is_switched_on_its_ground_side(classes: dict[str, LoadClass]) -> None:
    dome = classes["DOME"]
    assert dome.ground_switched
    assert dome.pins[0].feed.always
    assert dome.pins[0].through == ("MASTER.2",)
    assert dome.ground_through == ("DOOR.1",)
    assert [tuple(map(str, changes)) for changes in dome.drawn_in] == [("DOOR=open",)]


def test_each_supply_pin_has_its_own_feed(classes: dict[str, LoadClass]) -> None:
    constant, switched = classes["BCM"].pins
    assert (str(constant.terminal), constant.feed.kind, constant.turned_off_by) == ("BCM.1", "always", ("MASTER.2",))
    assert (str(switched.terminal), switched.feed.kind, switched.turned_off_by) == ("BCM.5", "in", ("IGN.15",))


def test_a_relay_held_by_a_module_needs_the_key_to_wake_it(classes: dict[str, LoadClass]) -> None:
    assert [tuple(map(str, changes)) for changes in classes["FAN"].drawn_in] == [("IGN=run",)]


def test_what_a_class_rests_on(classes: dict[str, LoadClass]) -> None:
    rests_on = {name: [(its.kind, its.name) for its in classes[name].unknown] for name in ("CHART", "SEAT", "ECM")}
    assert rests_on == {
        "CHART": [("ground assumed", "CHART"), ("wires not typed in", "CHART")],
        "SEAT": [("ground assumed", "SEAT"), ("role assumed", "SEAT.1"), ("wires not typed in", "SEAT")],
        "ECM": [],
    }
    assert ("open end", "ODD.1") in [(its.kind, its.name) for its in classes["ODD"].unknown]
    assert [need.option for need in classes["TOWMOD"].if_fitted] == ["TOW"]
    assert classes_of(CIRCUIT, {"TOW": False})["TOWMOD"].its == "not fitted"


def test_a_class_agrees_with_the_parked_vehicle() -> None:
    """On random vehicles: constant and message-only loads draw when parked; switched ones do not, but draw in the
    conditions told."""
    count = {"constant": 0, "message-only": 0, "switched": 0, "unknown": 0}
    for seed in range(60):
        circuit = random_circuit(seed)
        fitting = {"TOW": True, "COLD": False}
        parked = evaluate(circuit, PARKED.__class__(fitting=fitting), requests=Answer.NO)
        for name, its in classes_of(circuit, fitting).items():
            if its.its == "not fitted":
                continue
            count[its.its] += 1
            draws = parked.loads[name].draws
            assert (draws == Answer.YES) == (its.its in ("constant", "message-only")), (seed, name)
            assert its.its == "unknown" or draws != Answer.MAY_BE
            assert (its.drawn_in == ()) or its.its == "switched" or draws == Answer.MAY_BE
    assert min(count.values()) > 15, count
