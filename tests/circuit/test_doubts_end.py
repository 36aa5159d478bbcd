"""How far words and doubts reach, and what a hands-off unit grounds through a load."""

import pytest

from circuitmap.circuit.hands_off import HandsOffMap
from tests.circuit.told import circuit


def map_of(text: str) -> HandsOffMap:
    return circuit(text).hands_off


DOUBT = """battery BAT
fuse F0 60A, F1 5A, F2 10A
bar B feeds F1, F2
connector X1, X2
ground G1, G2
module {name} supply 1 ground 2
module BODY supply 1 ground 2
BAT.+ -> F0 -> B
F1 -> X1.1 -> {name}.1
{name}.2 -> X1.2 -> {ground}
F2 -> BODY.1
BODY.2 -> X2.1 -> G1
BAT.- -> G1, G2
"""


def test_a_doubt_ends_at_the_ground_that_others_use() -> None:
    found = map_of(DOUBT.format(name="SDM", ground="G1"))
    for name in ("SDM", "F1", "X1", "X1.2"):
        assert not found.may_touch(name), name
    for name in ("G1", "X2", "BODY", "F0"):
        assert found.may_touch(name), name


def test_what_is_sure_does_not_end_there() -> None:
    text = DOUBT.format(name="BAG9", ground="G1").replace(
        "BAG9 supply 1 ground 2", "BAG9 supply 1 ground 2 hands-off gas"
    )
    found = map_of(text)
    assert not any(found.may_touch(name) for name in ("BAG9", "F1", "X1", "G1", "F0"))


def test_a_doubt_keeps_a_ground_of_its_own() -> None:
    text = DOUBT.format(name="SDM", ground="G9").replace("ground G1, G2", "ground G1, G2, G9")
    assert not map_of(text).may_touch("G9")


def test_a_doubt_before_it_hides_nothing_of_what_is_sure() -> None:
    """Restraint is the worse reason and is looked for first; that it is in doubt must not end the other one's way."""
    text = """battery BAT
fuse F0 60A, F1 10A
relay K make
splice SP
module SDM supply 1 ground 2
module VALVE supply 1 ground 2 hands-off gas
ground G
BAT.+ -> F0 -> K.30
K.87 -> F1 -> SP -> SDM.1, VALVE.1
SDM.2, VALVE.2 -> G
BAT.+ -> K.86
K.85 -> G
BAT.- -> G
"""
    found = map_of(text)
    for name in ("F1", "K", "F0", "G"):
        assert not found.may_touch(name), name


SENSED = """battery BAT
fuse F10 10A hands-off restraint
fuse F11 30A
splice SP
ground G
module SEAT supply 1 ground 2 {roles}
BAT.+ -> F10 -> SP -> SEAT.5
BAT.+ -> F11 -> SEAT.1
SEAT.2, BAT.- -> G
"""


@pytest.mark.parametrize("role", ["sense", "control"])
def test_who_only_hears_of_a_hands_off_fuse_does_not_hang_on_it(role: str) -> None:
    found = map_of(SENSED.format(roles=f"{role} 5"))
    assert found.may_touch("SEAT") and found.may_touch("SEAT.1") and found.may_touch("F11")
    for name in ("F10", "SP", "SEAT.5"):
        assert not found.may_touch(name), name


@pytest.mark.parametrize("roles", ["supply 5", "signal 5", ""])
def test_who_may_be_fed_by_it_does(roles: str) -> None:
    text = SENSED.format(roles=roles).replace("supply 1 ground 2 supply 5", "supply 1, 5 ground 2")
    assert not map_of(text).may_touch("SEAT")


FLAP = """battery BAT
fuse F1 25A, F2 10A
connector X52 "charging inlet"
ground G
module BODY supply 1 ground 2
output BODY.7 feeds from 1
socket INLET hands-off high-voltage
module OBC supply 1 ground 2 hands-off high-voltage
motor LOCK {lock}
BAT.+ -> F1 -> BODY.1
BAT.+ -> F2 -> OBC.1
OBC.2, BODY.2 -> G
BODY.7 -> X52.5 -> LOCK.1
LOCK.2 -> G
OBC.3 -> X52.1 -> INLET.1
BAT.- -> G
"""


def test_what_is_in_a_plug_by_its_words_and_typed_free_keeps_its_feed_free() -> None:
    found = map_of(FLAP.format(lock="not hands-off"))
    for name in ("LOCK", "BODY", "F1"):
        assert found.may_touch(name), name
    for name in ("X52", "X52.5", "X52.1", "OBC", "F2"):
        assert not found.may_touch(name), name
    assert not found.may_probe("BODY.7"), "the copper in that plug"


def test_what_nobody_typed_there_does_not() -> None:
    found = map_of(FLAP.format(lock=""))
    assert not found.may_touch("F1") and not found.may_touch("BODY.7")
    typed = FLAP.format(lock="not hands-off").replace('"charging inlet"', '"charging inlet" hands-off high-voltage')
    assert not map_of(typed).may_touch("F1"), "typed against typed: it is left alone"


DRIVEN = """battery BAT
fuse F1 10A, F2 10A, F3 10A
splice SP
ground G, G2
module UNIT supply 1 ground 2 hands-off high-voltage
output UNIT.9 feeds from 1
output UNIT.16 grounds
motor VALVE
motor PUMP
load BUZZ
BAT.+ -> F1 -> UNIT.1
UNIT.2 -> G
BAT.+ -> F2 -> SP -> VALVE.1
VALVE.2 -> UNIT.16
SP -> PUMP -> G2
UNIT.9 -> BUZZ -> G2
BAT.- -> G, G2
"""


def test_a_load_that_it_grounds_is_fed_by_what_is_left_alone_as_a_coil_is() -> None:
    found = map_of(DRIVEN)
    for name in ("F2", "SP", "VALVE", "VALVE.1"):
        assert not found.may_touch(name), name
    assert found.may_clamp("F2")
    coil = DRIVEN.replace("motor VALVE", "relay VALVE make").replace("VALVE.1", "VALVE.86")
    coiled = map_of(coil.replace("VALVE.2", "VALVE.85"))
    assert not coiled.may_touch("F2") and coiled.may_clamp("F2"), "one law for both"
    for name in ("PUMP", "G2", "F3"):
        assert found.may_touch(name), name
