"""A cable is parted with the ground lead off, and with that on again all modules start anew: nothing is read at once."""

from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.reports.suspects.ground_lead import starts_anew
from tests.diagnosis.test_answers import circuit_from

ROLLER = """\
platform "Road roller" sleep 8min..12min limit 30mA
battery BAT 90Ah
fuse F1 15A mini
alternator ALT "alternator" supply B+ ground 31
{module}
lamp BEACON "beacon" supply 1 ground 2 running 2A
switch SW positions off, on closes 1 to 2 in on
ground G1
BAT.+ -> ALT.B+
BAT.+ -> F1 -> SW.1
SW.2 -> BEACON.1
ALT.31, BEACON.2 -> G1
BAT.- -> G1
"""
PANEL = 'module PANEL "panel" supply 1 ground 2 asleep 2mA awake 100mA\nF1 -> PANEL.1\nPANEL.2 -> G1'


def unplugging(module: str) -> tuple[float, float, list[str]]:
    its = circuit_from(ROLLER.replace("{module}", module))
    hand = prepared_for(its, {}, Evidence()).handling
    action = hand.action("unplug", ("ALT",), "ALT")
    return action.wait, action.minutes, list(starts_anew(its.platform, action))


def test_with_modules_there_it_is_waited_and_said() -> None:
    wait, minutes, said = unplugging(PANEL)
    assert wait == 10.0 and "start anew" in said[0]
    assert minutes >= unplugging("")[1] + 10.0


def test_where_nothing_has_to_sleep_it_is_read_at_once() -> None:
    wait, _, said = unplugging("")
    assert wait == 0.0 and said == []
