"""A switch that is fed by a fuse of the key's rail, and leads on to what is on another sheet, is no input of a module that
reads that rail: closed it would have to bring plus back from there, and all that the rail feeds would be up."""

import pytest

from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from

LIMOUSINE = """\
platform "Selby limousine" supply 12V return body
battery BAT 80Ah
key IGN positions off, run closes 30 to 15 in run
box BX
fuse BX.F1 10A mini "body control", BX.F2 20A mini "key", BX.F3 5A mini "key sense", BX.F4 10A mini "reversing"
bar BX.B1 feeds BX.F1, BX.F2
bar BX.B2 feeds BX.F3, BX.F4
switch REV "reversing contact" positions forward, reverse closes 1 to 2 in reverse
switch DOOR "door contact" positions shut, open closes 1 to 2 in open
module BODYC "body control" supply 1 ground 2 wake 4 by plus sense 5 by ground asleep 2mA awake 300mA
network NET can members BODYC (7, 8), TAIL (7, 8)
module TAIL "tail control" supply 1 ground 2 asleep 1mA awake 40mA
BAT.+ -> BX.B1
BX.F1 -> BODYC.1, TAIL.1
BX.F2 -> IGN.30
IGN.15 -> BX.B2
BX.F3 -> BODYC.4
BX.F4 -> REV.1
{lamp}
BODYC.5 -> DOOR.1
DOOR.2, BODYC.2, TAIL.2 -> case
BAT.- -> case
"""


def inputs(lamp: str) -> set[str]:
    ready = prepared_for(circuit_from(LIMOUSINE.format(lamp=lamp)), {}, Evidence())
    return {fault.part for fault in ready.faults if fault.kind == "wrong-input"}


@pytest.mark.parametrize(
    ("lamp", "is_one"),
    [('REV.2 -> ? "camera, sheet 41"', False), ('? "feed, sheet 41" -> REV.2', True)],
)
def test_plus_comes_over_it_only_where_a_wire_comes_from(lamp: str, is_one: bool) -> None:
    found = inputs(lamp)
    assert "DOOR" in found
    assert ("REV" in found) == is_one


WITH_HEATER = LIMOUSINE.replace('"reversing"', '"reversing", BX.F5 10A mini "heater"').replace(
    "BX.F3, BX.F4", "BX.F3, BX.F4, BX.F5"
)
HEATER = "heater WARM running 2A\nBX.F5 -> WARM -> case\n"
FEED = '? "feed, sheet 41" -> REV.2'


@pytest.mark.parametrize("wakes", [True, False])
def test_what_comes_over_a_rail_comes_to_all_that_hangs_there(wakes: bool) -> None:
    """What an unknown feed brings to the pin over the rail runs the heater there as well, surely: there is no wrong
    input by that switch alone, and what is known to be fed is told with all of its odds."""
    text = WITH_HEATER if wakes else WITH_HEATER.replace("wake 4 by plus sense 5 by ground", "sense 4, 5")
    ready = prepared_for(circuit_from(text.format(lamp=HEATER + FEED)), {}, Evidence())
    wrong = [its for its in ready.faults if its.kind == "wrong-input" and its.part == "REV"]
    assert wrong
    for fault in wrong:
        runs = [flow for flow in fault.brings if flow.owner == "WARM"]
        assert runs and all(flow.nothing == 0.0 and flow.mean > 1.8 for flow in runs)
    door = next(its for its in ready.faults if its.kind == "wrong-input" and its.part == "DOOR")
    assert sum(its.odds for its in wrong) < 0.6 * door.odds


def test_with_the_switch_out_nothing_comes_over_it() -> None:
    ready = prepared_for(circuit_from(WITH_HEATER.format(lamp=HEATER + FEED)), {}, Evidence())
    wrong = next(its for its in ready.faults if its.kind == "wrong-input" and its.part == "REV")
    assert ready.without(("REV",)).left_of(wrong) == ()
    left = {flow.owner for flow in ready.without(("BX.F5",)).left_of(wrong)}
    assert "WARM" not in left and "BODYC" in left


def test_a_known_feed_is_no_unknown_one() -> None:
    ready = prepared_for(circuit_from(WITH_HEATER.format(lamp=HEATER + "BX.B1 -> REV.2")), {}, Evidence())
    wrong = [its for its in ready.faults if its.kind == "wrong-input" and its.part == "REV"]
    door = next(its for its in ready.faults if its.kind == "wrong-input" and its.part == "DOOR")
    assert sum(its.odds for its in wrong) == pytest.approx(door.odds)
