"""Who holds a circuit that stays on by itself. By hand: what is let go, while all else is held, and comes on again at
once, is held by something else."""

from circuitmap.power.classes import classes_of
from circuitmap.reports.live.live_json import live_json
from circuitmap.reports.live.live_text import live_text
from tests.power.vehicle import live, vehicle

CART = """
platform "Golf cart" supply 12V
naming E* ground, F* fuse, J* splice
battery AUX 12V
battery PACK 36V
AUX.- -> E1
PACK.- -> E1
key IGN positions off, run closes 30 to 15 in run
module CONV "converter" supply IN ground 31 sense EN asleep 1mA
output CONV.OUT feeds 12V from IN while EN
PACK.+ -> F1 -> CONV.IN
CONV.31 -> E1
AUX.+ -> F2 -> J1
CONV.OUT -> J1
J1 -> IGN.30
IGN.15 -> J2
J2 -> CONV.EN
lamp DASH running 2W
J2 -> DASH -> E1
"""
RELAY = "relay KR make\nmotor FAN running 3A\nJ2 -> KR.86\nKR.85 -> E1\nJ1 -> KR.30\nKR.87 -> FAN -> E1\n"


def test_a_converter_that_brings_its_own_input_holds_itself() -> None:
    held = live(vehicle(CART), key="run", pulled=frozenset({"F2"})).held
    assert held.outputs == ("CONV.OUT",)
    assert held.relays == held.follow == ()
    assert held.loads == ("DASH",)


def test_a_relay_that_only_follows_is_no_holder() -> None:
    circuit = vehicle(CART + RELAY)
    powered = live(circuit, key="run", pulled=frozenset({"F2"}))
    assert powered.held.outputs == ("CONV.OUT",)
    assert powered.held.relays == () and powered.held.follow == ("KR",)
    assert set(powered.held.loads) == {"DASH", "FAN"}
    text = " ".join(live_text(powered, classes_of(circuit, {})).split())
    assert "CONV.OUT would stay on by itself once on; then KR pulls in and DASH and FAN would draw." in text
    told = live_json(powered, classes_of(circuit, {}))["held"]
    assert told == {"relays": [], "outputs": ["CONV.OUT"], "follow": ["KR"], "loads": ["DASH", "FAN"]}


def test_what_is_on_anyway_is_no_matter_of_holding() -> None:
    assert live(vehicle(CART), key="run").held.outputs == ()
    assert live(vehicle(CART)).held.outputs == ()


def test_of_two_relays_the_one_that_feeds_its_own_coil_is_named() -> None:
    text = """
platform "Pump" supply 12V
naming E* ground, F* fuse, J* splice
battery B 12V
B.- -> E1
relay KA make
relay KB make
switch ST positions free, pressed closes 1 to 2 in pressed
lamp L running 5W
B.+ -> F1 -> ST.1
ST.2 -> J1 -> KA.86
KA.85 -> E1
F1 -> KA.30
KA.87 -> J1
J1 -> KB.86
KB.85 -> E1
F1 -> KB.30
KB.87 -> L -> E1
"""
    held = live(vehicle(text)).held
    assert (held.relays, held.follow, held.loads) == (("KA",), ("KB",), ("L",))


def test_two_relays_that_hold_each_other_are_both_named() -> None:
    text = """
platform "Pair" supply 12V
naming E* ground, F* fuse, J* splice
battery B 12V
B.- -> E1
relay KA make
relay KB make
B.+ -> F1 -> KA.30, KB.30
KA.87 -> KB.86
KB.87 -> KA.86
KA.85 -> E1
KB.85 -> E1
"""
    held = live(vehicle(text)).held
    assert held.relays == ("KA", "KB") and held.follow == ()
