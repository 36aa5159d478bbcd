"""What works the coil of a relay by which a hands-off thing is fed may not be touched either; what the key does may."""

import pytest

from circuitmap.circuit.hands_off import HandsOffMap
from tests.circuit.told import circuit

VALVE = """battery BAT
fuse F1 15A "fridge", F2 10A "alarm", F3 30A, F4 5A, F5 5A
bar B feeds F1, F2, F4, F5
ground G1, G2, G3
relay K make
solenoid VALVE hands-off {kind}
module ALARM supply 1 ground 2 not hands-off
module OTHER supply 1 ground 2
output ALARM.3 feeds from 1 always
lamp LAMP
BAT.+ -> F3 -> B
F1 -> K.30
K.87 -> VALVE -> G1
F2 -> ALARM.1
F2 -> LAMP -> G3
ALARM.2, OTHER.2 -> G3
ALARM.3 -> K.86
K.85 -> G2
F4 -> OTHER.1
BAT.- -> G1, G2, G3
"""


def map_of(text: str) -> HandsOffMap:
    return circuit(text).hands_off


@pytest.mark.parametrize("kind", ["gas", "restraint", "high-voltage"])
def test_what_holds_the_relay_of_its_feed_may_not_be_touched(kind: str) -> None:
    found = map_of(VALVE.format(kind=kind))
    for name in ("K", "K.86", "K.85", "ALARM", "ALARM.3", "F2", "G2", "F1"):
        assert not found.may_touch(name), name
    its = found.why_not("F2")
    assert its is not None and (its.how, its.of) == ("works-relay", "VALVE")
    assert found.may_clamp("F2"), "no metal is touched"
    for name in ("OTHER", "F4", "LAMP", "G3", "F5"):
        assert found.may_touch(name), name


@pytest.mark.parametrize("kind", ["sealed", "maker"])
def test_where_a_lost_feed_hurts_nobody_the_coil_is_free(kind: str) -> None:
    found = map_of(VALVE.format(kind=kind))
    assert not found.may_touch("K") and not found.may_touch("K.86")
    for name in ("ALARM", "F2", "G2"):
        assert found.may_touch(name), name


def test_a_doubt_goes_no_further_than_its_fuse() -> None:
    found = map_of(VALVE.format(kind="gas").replace("solenoid VALVE hands-off gas", "module SDM supply 1 ground 2")
                   .replace("K.87 -> VALVE -> G1", "K.87 -> SDM.1\nSDM.2 -> G1"))  # fmt: skip
    assert not found.may_touch("SDM")
    assert found.may_touch("ALARM") and found.may_touch("F2")


def test_what_was_typed_outranks_a_thing_that_is_so_by_its_words() -> None:
    text = VALVE.format(kind="gas").replace("solenoid VALVE hands-off gas", 'solenoid VALVE "gas valve"')
    found = map_of(text)
    assert not found.may_touch("VALVE") and not found.may_touch("F2")
    assert found.may_touch("ALARM"), "it was typed that it is not"


KEYED = """battery BAT
fuse F1 10A "restraint", F2 30A "key", F3 20A
bar B feeds F2, K.30
bar RUN feeds F1, F3
ground G1, G2
relay K make
key IGN positions off, run closes 30 to 15 in run
module BAG supply 1 ground 2 hands-off restraint
{more}
BAT.+ -> B
F1 -> BAG.1
BAG.2 -> G1
K.87 -> RUN
{plus} -> K.86
K.85 -> {minus}
F2 -> IGN.30
BAT.- -> G1, G2
"""
MODULE = (
    "module BODY supply 1 ground 2\noutput BODY.7 {does}\nF3 -> BODY.1\nBODY.2 -> G2\nfuse F4 10A\nbar B feeds F4\n"
)


@pytest.mark.parametrize(
    ("more", "plus", "minus"),
    [
        ("", "IGN.15", "G2"),
        (MODULE.format(does="feeds from 1 in run").replace("F3 -> BODY", "F4 -> BODY"), "BODY.7", "G2"),
        (MODULE.format(does="grounds in run").replace("F3 -> BODY", "F4 -> BODY"), "B", "BODY.7"),
    ],
)
def test_what_the_key_switches_anyway_is_free(more: str, plus: str, minus: str) -> None:
    found = map_of(KEYED.format(more=more, plus=plus, minus=minus))
    assert not found.may_touch("K") and not found.may_touch("F1")
    for name in ("IGN", "F2", "G2", "BODY", "F4"):
        if name in found.platform.parts:
            assert found.may_touch(name), name


def test_a_module_that_grounds_the_coil_is_fed_by_a_fuse_that_counts() -> None:
    more = MODULE.format(does="grounds").replace("F3 -> BODY", "F4 -> BODY")
    found = map_of(KEYED.format(more=more, plus="B", minus="BODY.7"))
    for name in ("BODY", "BODY.7", "F4"):
        assert not found.may_touch(name), name
    assert found.may_touch("G2"), "what the module itself returns to"
    assert found.may_touch("F2") and found.may_touch("IGN")


def test_a_relay_that_works_the_relay_counts_too() -> None:
    more = "relay K2 make\nfuse F4 10A, F5 10A\nbar B feeds F4, F5\nswitch SW positions off, on closes 1 to 2 in on\n"
    more += "F4 -> K2.30\nF5 -> SW.1\nSW.2 -> K2.86\nK2.85 -> G2"
    found = map_of(KEYED.format(more=more, plus="K2.87", minus="G2"))
    for name in ("K2", "F4", "SW", "F5", "G2"):
        assert not found.may_touch(name), name


def test_a_coil_whose_other_end_is_not_drawn_keeps_what_its_wire_reaches() -> None:
    more = "module BODY supply 1 ground 2\nfuse F4 10A\nbar B feeds F4\nF3 -> BODY.1\nBODY.2 -> G2"
    found = map_of(KEYED.format(more=more, plus="F4", minus="BODY.9"))
    assert not found.may_touch("BODY") and not found.may_touch("BODY.9") and not found.may_touch("F4")
