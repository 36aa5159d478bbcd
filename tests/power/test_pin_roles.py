"""What a pin does is what was said of it: no feed comes out of a ground pin, no supply out of an input."""

from circuitmap.circuit.feeding import feeding_of
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
