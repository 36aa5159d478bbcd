"""A pin does what was declared for it: no feed comes out of a ground pin, no supply out of an input."""

from circuitmap.circuit.feeding import feeding_of
from circuitmap.power.classes import classes_of
from circuitmap.reports.live.class_words import class_words
from circuitmap.wiring.parts import Load

from .vehicle import drawing, live, vehicle

HEAD = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery BAT 70Ah
fuse F1 10A, F3 5A
module ECU supply 1 ground 2
module MOD supply 1 ground 2
BAT.- -> G1
BAT.+ -> F1 -> ECU.1, MOD.1
BAT.+ -> F3
"""


def test_a_ground_wire_typed_from_its_splice_feeds_nothing() -> None:
    circuit = vehicle(HEAD + "SP9 -> ECU.2\nSP9 -> MOD.2\n")
    assert not circuit.unknown_supplies
    assert {end.part for end in circuit.unknown_grounds} == {"SP9"}
    assert drawing(live(circuit)) == {"ECU": "may be", "MOD": "may be"}


def test_a_feed_typed_from_the_pin_is_no_ground() -> None:
    circuit = vehicle(HEAD + "ECU.2, MOD.2 -> G1\nlamp L supply 1 ground 2\nL.1 -> SP8\nL.2 -> G1\n")
    assert {end.part for end in circuit.unknown_supplies} == {"SP8"} and not circuit.unknown_grounds


def test_an_undeclared_pin_of_a_module_with_declared_supplies_is_an_input() -> None:
    circuit = vehicle(HEAD + "ECU.2, MOD.2 -> G1\nF3 -> ECU.7\n")
    part = circuit.platform.parts["ECU"]
    assert isinstance(part, Load) and part.roles["7"] == "sense" and "7" in part.assumed_roles
    assert [str(pin) for pin in circuit.loads["ECU"].supplies] == ["ECU.1"]
    assert {(t.part, t.kind) for t in feeding_of(circuit).on_fuse["F3"]} == {("ECU", "sense")}


def test_an_undeclared_pin_of_a_module_of_which_nothing_was_said_is_its_supply() -> None:
    circuit = vehicle(HEAD + "ECU.2, MOD.2 -> G1\nmodule NEW\nF3 -> NEW.7\nNEW.8 -> G1\n")
    assert [str(pin) for pin in circuit.loads["NEW"].supplies] == ["NEW.7"]


CONTROLLED = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery BAT 70Ah
fuse F4 30A
relay KS make
key IGN positions off, run, start closes 30 to 15 in run closes 30 to 50 in start
motor FAN supply 1 ground 2 control 3
starter ST supply 30 control 50 ground 31
BAT.- -> G1
BAT.+ -> F4 -> FAN.1
BAT.+ -> IGN.30, KS.30, ST.30
IGN.15 -> FAN.3
IGN.50 -> KS.86
KS.85, FAN.2, ST.31 -> G1
KS.87 -> ST.50
"""


def test_a_control_pin_switches_its_load() -> None:
    circuit = vehicle(CONTROLLED)
    assert drawing(live(circuit)) == {}
    assert drawing(live(circuit, key="run")) == {"FAN": "yes"}
    assert drawing(live(circuit, key="start")) == {"ST": "yes"}
    classes = classes_of(circuit, {})
    assert {name: its.its for name, its in classes.items()} == {"FAN": "switched", "ST": "switched"}
    assert class_words(classes["ST"]) == "switched: in start"


def test_a_stuck_starter_relay_turns_the_starter() -> None:
    assert drawing(live(vehicle(CONTROLLED), stuck=frozenset({"KS.87"}))) == {"ST": "yes"}


def test_a_control_pin_that_only_ground_comes_to_is_switched_by_ground() -> None:
    circuit = vehicle(
        CONTROLLED.replace("IGN.15 -> FAN.3\n", "FAN.3 -> S.1\nS.2 -> G1\n")
        + "switch S positions off, on closes 1 to 2 in on\n"
    )
    assert drawing(live(circuit)) == {} and drawing(live(circuit, switches={"S": "on"})) == {"FAN": "yes"}


def test_a_control_pin_of_which_nothing_was_typed_in_is_no_no() -> None:
    assert drawing(live(vehicle(CONTROLLED.replace("IGN.15 -> FAN.3\n", "")))) == {"FAN": "may be"}
