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
