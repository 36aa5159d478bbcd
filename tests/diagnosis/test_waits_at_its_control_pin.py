"""What waits at its control pin takes what it takes asleep: the expected draw and the answer count it alike."""

from functools import cache

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.notation.reading import read_text
from circuitmap.power.expected import expected_draw
from circuitmap.power.state import VehicleState
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.parts import Load
from tests.diagnosis.cards import circuit

WAIN = """\
platform "Sandpiper Wain" sleep 5min..10min limit 50mA
battery BAT 80Ah
fuse F1 10A mini, F2 15A mini, F3 5A mini
module BODYM supply 1 ground 31 asleep 3mA awake 200mA
heater WARM "bed heater" supply 1 ground 2 control 3 running 4A asleep 8mA
heater PLAIN supply 1 ground 2 control 3 running 2A
switch WSW positions off, on closes 1 to 2 in on
ground G
BAT.+ -> F1 -> BODYM.1
BODYM.31 -> G
BAT.+ -> F2 -> WARM.1
WARM.2 -> G
F2.2 -> PLAIN.1
PLAIN.2 -> G
BAT.+ -> F3 -> WSW.1
WSW.2 -> WARM.3
WSW.2 -> PLAIN.3
BAT.- -> G
"""


@cache
def wain() -> Circuit:
    return circuit_of(platform_of([read_text(SourceFile("w.circuit", WAIN))[0]]))


def test_it_is_part_of_what_sleeps() -> None:
    parked = Parked(wain(), {})
    assert {(its.owner, its.key.taken): round(its.mean, 3) for its in parked.asleep.values()} == {
        ("BODYM", "asleep"): 0.003, ("WARM", "asleep"): 0.009,
    }  # fmt: skip
    assert {"F2", "WARM"} <= next(its.way.through for its in parked.asleep.values() if its.owner == "WARM")


def test_running_brings_what_is_beyond_it() -> None:
    parked = Parked(wain(), {})
    brings = {its.owner: its for its in parked.brought_in(VehicleState(switches={"WSW": "on"}))}
    alone = brings["WARM"].mean + next(its.mean for its in parked.asleep.values() if its.owner == "WARM")
    assert alone == pytest.approx(4.0, rel=0.1)
    assert brings["WARM"].mean < alone


@pytest.mark.parametrize("vehicle", ["van", "truck", "motorhome", "sweeper", "motorcycle"])
def test_both_count_the_same_parts(vehicle: str) -> None:
    its = circuit(vehicle)
    parked = Parked(its, {})
    loads = {name for name, part in its.platform.parts.items() if isinstance(part, Load) and part.asleep is not None}
    expected = {draw.part for draw in expected_draw(its, {}).draws if not draw.assumed} & loads
    assert {flow.owner for flow in parked.asleep.values()} & loads == expected != set()
