"""Resistors: what lies between supply and ground takes its own current and shorts nothing."""

from circuitmap.circuit.feeding import feeding_of, hanging_on
from circuitmap.power.classes import classes_of
from circuitmap.power.expected import expected_draw
from circuitmap.wiring.fitting import Answer

from .vehicle import drawing, live, terminal, vehicle

BESIDE = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery BAT 70Ah
fuse F1 10A, F2 10A
resistor R1 10kohm
motor M1
switch S1 positions off, on closes 1 to 2 in on
BAT.- -> G1
BAT.+ -> SP0 -> F1 -> R1 -> G1
SP0 -> F2 -> S1.1
S1.2 -> M1 -> G1
"""


def test_a_resistor_to_ground_is_no_short_circuit() -> None:
    circuit = vehicle(BESIDE)
    assert drawing(live(circuit)) == {"R1": "yes"}
    assert drawing(live(circuit, switches={"S1": "on"})) == {"R1": "yes", "M1": "yes"}
    assert drawing(live(circuit, pulled=frozenset({"F1"}), switches={"S1": "on"})) == {"M1": "yes"}
    assert hanging_on(feeding_of(circuit), "F1") == ("R1",)
    assert classes_of(circuit, {})["R1"].its == "constant"
    total = expected_draw(circuit, {}).total  # 12 V over 10 kohm
    assert abs(total.low - 0.0012) < 1e-9 and abs(total.high - 0.0012) < 1e-9


def test_a_resistor_before_a_motor_passes_on_what_the_motor_takes() -> None:
    circuit = vehicle(BESIDE.replace("S1.2 -> M1", "S1.2 -> R2 -> M1") + "resistor R2 0.5ohm\n")
    assert set(circuit.loads) == {"M1", "R1"}
    assert drawing(live(circuit, switches={"S1": "on"})) == {"R1": "yes", "M1": "yes"}


HELD_UP = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery BAT 70Ah
fuse F1 10A
resistor RU 1kohm
module ECU supply 1 ground 2 wake 3
switch DOOR positions shut, open closes 1 to case in open
BAT.- -> G1
BAT.+ -> SP0 -> F1 -> ECU.1
ECU.2 -> G1
F1 -> RU -> ECU.3
ECU.3 -> DOOR.1
"""


def test_a_point_held_up_by_a_resistor_is_live_until_a_switch_grounds_it() -> None:
    circuit = vehicle(HELD_UP)
    shut, open_ = live(circuit), live(circuit, switches={"DOOR": "open"})
    pin = terminal("ECU.3")
    assert (shut.supply[pin], shut.ground[pin]) == (Answer.YES, Answer.NO)
    assert (open_.supply[pin], open_.ground[pin]) == (Answer.NO, Answer.YES)
    assert shut.loads["RU"].draws == Answer.NO and open_.loads["RU"].draws == Answer.YES
    assert shut.awake["ECU"] == Answer.YES and open_.awake["ECU"] == Answer.NO


def test_a_live_point_that_a_resistor_holds_down_is_no_ground_for_others() -> None:
    """A lamp from plus to a point that a switch makes live: both its ends are at plus."""
    circuit = vehicle(
        BESIDE + "resistor RD 1kohm\nlamp L1\nF1 -> L1 -> SP9\nF1 -> S2.1\nS2.2 -> SP9 -> RD -> G1\n"
        "switch S2 positions off, on closes 1 to 2 in on\n"
    )
    assert "L1" not in drawing(live(circuit, switches={"S2": "on"}))
    assert drawing(live(circuit))["L1"] in ("yes", "may be")  # a lamp in a row with a kilohm
