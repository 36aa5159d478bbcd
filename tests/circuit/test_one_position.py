"""A way that needs two positions of one switch at once, or a relay pulled in and at rest, carries nothing to a hands-off
thing. Source: the drawing itself; a hazard switch that takes its feed over from the key's bar joins the two feeds in no
position."""

import pytest

from circuitmap.circuit import ways_up
from circuitmap.circuit.dead_ends import without_dead_ends
from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.one_position import _reached
from circuitmap.circuit.ways import Ways
from circuitmap.wiring.parts import Load, Terminal
from tests.always import always
from tests.circuit.test_hands_off_any_platform import marked
from tests.diagnosis.test_answers import circuit_from

VAN = """\
platform "Hollin 9 van"
battery BAT 80Ah
key S1 positions out, run closes 30 to 15 in run
box CAB
fuse CAB.F1 30A mini, CAB.F4 15A mini, CAB.F7 10A mini, CAB.F9 15A mini
{part}
load FLASH "flasher" supply 1 ground 2
module SRS "restraint control" supply 1 ground 2 hands-off restraint
sheet "1"
BAT.+ -> CAB.F1 -> S1.30
S1.15 -> CAB.F7 -> SRS.1
S1.15 -> CAB.F9
BAT.+ -> CAB.F4
{wires}
SRS.2, FLASH.2 -> case
BAT.- -> case
"""
SWITCHED = "CAB.F9 -> HAZ.15\nCAB.F4 -> HAZ.30\nHAZ.49 -> FLASH.1"
RELAY = "CAB.F9 -> K1.87a\nCAB.F4 -> K1.87\nK1.30 -> FLASH.1\nCAB.F9 -> K1.86\nK1.85 -> case"


@pytest.mark.parametrize(
    ("part", "wires", "feeds"),
    [
        ("switch HAZ positions off, on closes 15 to 49 in off closes 30 to 49 in on", SWITCHED, False),
        ("switch HAZ positions off, on closes 15 to 49 in off, on closes 30 to 49 in on", SWITCHED, True),
        ("switch HAZ positions off, half, on closes 15 to 49 in off, half closes 30 to 49 in half, on", SWITCHED, True),
        ("relay K1 changeover", RELAY, False),
    ],
)
def test_what_never_closes_together_feeds_nobody(part: str, wires: str, feeds: bool) -> None:
    its = circuit_from(VAN.format(part=part, wires=wires))
    hands_off = its.hands_off
    assert not hands_off.may_touch("CAB.F7") and not hands_off.may_touch("CAB.F1"), "that feed is a real one"
    why = hands_off.why_not("CAB.F4")
    assert (why is not None and why.how == "feeds" and why.of == "SRS") == feeds


def test_two_switches_in_one_way_are_each_looked_at_alone() -> None:
    """The second switch closes in any position: the first still rules the way out."""
    part = (
        "switch HAZ positions off, on closes 15 to 49 in off closes 30 to 49 in on\n"
        "switch AUX positions a, b closes 1 to 2 in a closes 1 to 2 in b"
    )
    wires = "CAB.F9 -> AUX.1\nAUX.2 -> HAZ.15\nCAB.F4 -> HAZ.30\nHAZ.49 -> FLASH.1"
    hands_off = circuit_from(VAN.format(part=part, wires=wires)).hands_off
    assert hands_off.may_touch("CAB.F4") and not hands_off.may_touch("CAB.F7")


def test_a_way_round_over_another_contact_still_carries() -> None:
    """Beside the switch a lamp's own contact joins both feeds: then the fuse does feed the restraint."""
    part = (
        "switch HAZ positions off, on closes 15 to 49 in off closes 30 to 49 in on\n"
        "switch TIE positions open, shut closes 1 to 2 in shut"
    )
    wires = SWITCHED + "\nCAB.F4 -> TIE.1\nTIE.2 -> S1.15"
    assert not circuit_from(VAN.format(part=part, wires=wires)).hands_off.may_touch("CAB.F4")


@pytest.mark.parametrize("seed", always(60, range(400)))
def test_nothing_is_freed_that_lies_on_a_way_that_conducts(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Held against the list of ways, which knows nothing of blocks: each asks only for what can be so at once. What is
    left alone by every way of the metal stays so where one of these passes it. Not a spur: a switch that could feed a node
    which is live at all times anyway is no feed, and that a dead end of the way touches its pin makes it none
    (`test_dead_ends`)."""
    circuit, names = marked(seed)
    narrow = circuit.hands_off
    monkeypatch.setattr(
        ways_up,
        "edges_that_conduct",
        lambda _, *block: without_dead_ends(list(_reached(*block)), *block[1:]),
    )
    wide = circuit_of(circuit.platform).hands_off
    ways, sources = Ways(circuit, {}, "supply"), {*circuit.supplies, *circuit.unknown_supplies}
    for name in names:
        part = circuit.platform.parts[name]
        assert isinstance(part, Load)
        for pin in part.pins_with("supply"):
            for path in ways.to(Terminal(name, pin)).paths:
                if path.roundabout or path.second or set(path.terminals[1:]) & sources:
                    continue  # nothing depends on it, or it begins at the last supply that it passes
                for passed in {step.link.part for step in path.steps}:
                    assert wide.may_touch(passed) or not narrow.may_touch(passed), (name, passed)
