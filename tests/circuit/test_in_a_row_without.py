"""A wire that this car does not have joins no loads in a row."""

from circuitmap.circuit.trace import trace
from tests.power.vehicle import vehicle

CAR = vehicle("""
platform "Marlow Heron" supply 12V return body
option TOW
battery BAT 95Ah
ground G1
fuse F1 10A
module TOWMOD supply 30 ground 31
lamp SIGN
heater PAD
BAT.- -> G1
BAT.+ -> F1
F1 -> PAD.1
PAD.2 -> G1
sheet "2" "Towing" if TOW
F1 -> TOWMOD.30
TOWMOD.31 -> G1
F1 -> SIGN.1
SIGN.2 -> G1
""")


def test_nothing_comes_through_a_wire_that_is_not_there() -> None:
    assert [pin.through for pin in trace(CAR, "TOWMOD", {"TOW": False}).pins] == [(), ()]
