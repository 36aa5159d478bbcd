"""Where no probe may be held, though nothing hands-off is named there: in a plug that may not be parted, and on the
copper that feeds a hands-off thing."""

import pytest

from tests.circuit.told import circuit

SEAT = """battery BAT
fuse F1 10A, F2 15A, F3 30A
connector X9
splice SP
module BAG supply 1 ground 2 hands-off {kind}
module HEATC supply 1 ground 2
heater HEAT
output HEATC.8 feeds from 1
socket PLUG
lamp LAMP
BAT.+ -> F1 -> BAG.1
BAG.2 -> case
BAG.11 -> X9.1 -> BAG.12
BAT.+ -> F2 -> HEATC.1
HEATC.2 -> case
HEATC.8 -> X9.7 -> HEAT -> case
BAT.- -> case
"""


@pytest.mark.parametrize("kind", ["restraint", "gas", "high-voltage", "sealed", "maker"])
def test_no_cavity_of_a_plug_that_may_not_be_parted_is_probed(kind: str) -> None:
    found = circuit(SEAT.format(kind=kind)).hands_off
    its = found.why_not("X9.7")
    assert its is not None and its.reason.why == kind and its.of == "BAG"
    assert not found.may_probe("X9.7") and not found.may_touch("X9")
    for name in ("HEAT", "HEAT.1", "HEATC.8", "HEATC", "F2"):
        assert found.may_touch(name) and found.may_probe(name), name


def test_a_cavity_of_a_plug_that_nobody_called_hands_off_is_probed() -> None:
    found = circuit(SEAT.format(kind="restraint").replace("X9.1 -> BAG", "BAG")).hands_off
    assert found.may_touch("X9") and found.may_probe("X9.7")


FED = """battery BAT
fuse F1 10A, F2 15A, F3 30A
bar B feeds F1, F2, F3
splice SP
module BELT supply 1 ground 2 hands-off restraint
module SEAT supply 1 ground 2
relay K make
motor FAN
lamp LAMP
switch SW positions off, on closes 1 to 2 in on
ground G
BAT.+ -> B
F1 -> SP -> BELT.1, SEAT.1
SP -> SW.1
SW.2 -> LAMP -> G
SEAT.2, BELT.2 -> G
F2 -> FAN -> G
F3 -> K.30
K.87 -> LAMP.9
BAT.- -> G
"""


def test_a_branch_on_the_copper_of_its_feed_is_unplugged_but_not_probed() -> None:
    found = circuit(FED).hands_off
    for pin in ("SEAT.1", "SW.1"):
        its = found.why_not_probed(pin)
        assert its is not None and (its.how, its.of) == ("same-copper", "BELT"), pin
    assert found.may_touch("SEAT") and found.may_touch("SEAT.1") and found.may_touch("SW")
    # Behind a contact, a load or another fuse, on the bar before the fuses, and at the ground, it is another copper.
    for pin in ("SW.2", "LAMP.1", "SEAT.2", "FAN.1", "FAN.2", "F2.2", "F3.2", "K.30"):
        assert found.may_probe(pin), pin


def test_no_pin_of_a_hands_off_relay_is_freer_than_the_relay() -> None:
    text = """battery BAT
fuse F1 10A, F2 15A
splice SP
module UNIT supply 1 ground 2 hands-off high-voltage
relay K make
motor PUMP
BAT.+ -> F1 -> UNIT.1
UNIT.2, BAT.- -> case
BAT.+ -> F2 -> SP -> K.30, K.86
K.85 -> UNIT.14
K.87 -> PUMP -> case
"""
    found = circuit(text).hands_off
    assert not found.may_touch("K")
    for pin in ("K.30", "K.87", "K.86", "K.85"):
        assert not found.may_touch(pin), pin
    assert found.may_touch("PUMP") and found.may_probe("PUMP.1")
